//! Labels on sheets of the common sizes: for the unit with a QR code, for each housing with what the next hand must know.

use service::Language;

use crate::code::code;
use crate::draft::{Block, Draft, Leaf, Mark, Style};
use crate::error::ReportError;
use crate::face::Faces;
use crate::paper::{MM, Paper};
use crate::words::Words;

/// A sheet of labels: what is cut where. The sizes are those that any stationer has: common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LabelSheet {
    /// Its name in options: width and height of a label in millimetres.
    pub name: &'static str,
    /// The paper.
    pub paper: Paper,
    columns: usize,
    rows: usize,
    /// Left and upper margin, millimetres.
    origin: (f32, f32),
    /// From label to label, millimetres.
    pitch: (f32, f32),
    /// Width and height of a label, millimetres.
    label: (f32, f32),
}

const fn sheet(
    name: &'static str,
    paper: Paper,
    (columns, rows): (usize, usize),
    origin: (f32, f32),
    pitch: (f32, f32),
    label: (f32, f32),
) -> LabelSheet {
    LabelSheet {
        name,
        paper,
        columns,
        rows,
        origin,
        pitch,
        label,
    }
}

impl LabelSheet {
    /// All sheets, those for A4 first; the first of a paper is what is taken if nobody says.
    pub const ALL: [Self; 6] = [
        sheet(
            "99x68",
            Paper::A4,
            (2, 4),
            (4.65, 13.1),
            (101.6, 67.7),
            (99.1, 67.7),
        ),
        sheet(
            "99x38",
            Paper::A4,
            (2, 7),
            (4.65, 15.15),
            (101.6, 38.1),
            (99.1, 38.1),
        ),
        sheet(
            "63x38",
            Paper::A4,
            (3, 7),
            (7.2, 15.15),
            (66.04, 38.1),
            (63.5, 38.1),
        ),
        sheet(
            "102x85",
            Paper::Letter,
            (2, 3),
            (3.97, 12.7),
            (106.36, 84.67),
            (101.6, 84.67),
        ),
        sheet(
            "102x51",
            Paper::Letter,
            (2, 5),
            (3.97, 12.7),
            (106.36, 50.8),
            (101.6, 50.8),
        ),
        sheet(
            "67x25",
            Paper::Letter,
            (3, 10),
            (4.76, 12.7),
            (69.85, 25.4),
            (66.7, 25.4),
        ),
    ];

    /// The sheet of this name on this paper.
    pub fn from_name(paper: Paper, name: &str) -> Option<Self> {
        Self::on(paper).find(|sheet| sheet.name == name)
    }

    /// The sheets of a paper.
    pub fn on(paper: Paper) -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(move |sheet| sheet.paper == paper)
    }

    fn count(self) -> usize {
        self.columns * self.rows
    }
}

/// The label of a unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnitLabel {
    /// What it is called.
    pub name: String,
    /// Its id in the ledger.
    pub id: String,
    /// Where it stands.
    pub site: Option<String>,
    /// Whom to call: a name, a number.
    pub contact: Option<String>,
    /// Address of its page.
    pub address: String,
}

/// The label of a housing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HousingLabel {
    /// The unit that it belongs to.
    pub unit: String,
    /// The part in it.
    pub part: String,
    /// What the part is, as it is ordered.
    pub what: String,
    /// What must be done before it is opened.
    pub before: Vec<String>,
    /// What must be done before the unit serves again.
    pub after: Vec<String>,
    /// The day it went in; a line to write on where nobody knows.
    pub since: Option<String>,
    /// The first day on which it may be due (one in ten are due sooner); a line to write on where nobody knows.
    pub due: Option<String>,
}

/// What to print on sheets.
#[derive(Clone, Debug, PartialEq)]
pub struct Labels {
    /// The language of the housings' texts.
    pub language: Language,
    /// The sheet.
    pub sheet: LabelSheet,
    /// Labels of the first sheet that are used already.
    pub skip: usize,
    /// Whether the edges are drawn, for plain paper that is cut by hand.
    pub edges: bool,
    /// The unit's own label.
    pub unit: Option<UnitLabel>,
    /// Its housings' labels.
    pub housings: Vec<HousingLabel>,
}

/// From the edge of a label to its text: a printer's slip of 2 mm at least, more where there is room.
fn padding(sheet: LabelSheet) -> f32 {
    (sheet.label.1 * 0.09).clamp(2.0, 3.5) * MM
}

/// The largest type, and the smallest that is read at arm's length: common practice, no source.
const SIZES: (f32, f32) = (10.0, 6.5);

pub(crate) fn draft(labels: &Labels, faces: &Faces) -> Result<Draft, ReportError> {
    let sheet = labels.sheet;
    let words = Words::of(labels.language);
    if labels.skip >= sheet.count() {
        return Err(ReportError::Skip {
            skip: labels.skip,
            label: sheet.name,
            count: sheet.count(),
        });
    }
    let room = (
        sheet.label.0 * MM - 2.0 * padding(sheet),
        sheet.label.1 * MM - 2.0 * padding(sheet),
    );
    let mut blocks = Vec::new();
    if let Some(unit) = &labels.unit {
        let address = code(&unit.address)?;
        blocks.push(fitting(room, &unit.name, sheet.name, |size| {
            let mut block = Block::new(faces);
            let side = room.1.min(room.0 * 0.42);
            block.marks.push(Mark::Code {
                x: 0.0,
                y: 0.0,
                side,
                code: address.clone(),
                says: unit.address.clone(),
            });
            let (x, width) = (side + 9.0, room.0 - side - 9.0);
            block.text(x, width, Style::strong(size * 1.35), &unit.name);
            if unit.id != unit.name {
                block.text(x, width, Style::plain(size), &unit.id);
            }
            for more in [&unit.site, &unit.contact].into_iter().flatten() {
                block.text(x, width, Style::plain(size), more);
            }
            block.space(size * 0.4);
            block.text(x, width, Style::grey(size * 0.75), &unit.address);
            block.height = block.height.max(side);
            block
        })?);
    }
    for housing in &labels.housings {
        blocks.push(fitting(room, &housing.part, sheet.name, |size| {
            housing_block(faces, words, room.0, size, housing)
        })?);
    }
    let title = labels
        .unit
        .as_ref()
        .map(|unit| &unit.name)
        .or(labels.housings.first().map(|housing| &housing.unit));
    Ok(Draft {
        size: sheet.paper.size_pt(),
        title: format!("{}, {}", title.map_or(words.unit, String::as_str), words.labels),
        language: words.tag,
        leaves: leaves(labels, blocks),
    })
}

/// The label in the largest type that leaves room for all of it.
fn fitting<'f>(
    room: (f32, f32),
    what: &str,
    label: &'static str,
    build: impl Fn(f32) -> Block<'f>,
) -> Result<Block<'f>, ReportError> {
    let mut size = SIZES.0;
    while size >= SIZES.1 {
        let block = build(size);
        if block.height <= room.1 {
            return Ok(block);
        }
        size -= 0.25;
    }
    Err(ReportError::NoRoom {
        what: what.to_owned(),
        label,
    })
}

fn housing_block<'f>(
    faces: &'f Faces,
    words: &Words,
    width: f32,
    size: f32,
    housing: &HousingLabel,
) -> Block<'f> {
    let mut block = Block::new(faces);
    let (plain, strong) = (Style::plain(size), Style::strong(size));
    block.right(width, Style::grey(size * 0.9), &housing.unit);
    let taken = faces.width(plain.weight, size * 0.9, &housing.unit) + 8.0;
    block.text(
        0.0,
        (width - taken).max(width * 0.4),
        Style::strong(size * 1.3),
        &housing.part,
    );
    block.text(0.0, width, plain, &housing.what);
    let halves = width / 2.0;
    let before = block.height;
    for (x, what, day) in [
        (0.0, words.in_since, &housing.since),
        (halves, words.due_from, &housing.due),
    ] {
        block.height = before;
        match day {
            Some(day) => {
                block.text(x, halves - 4.0, strong, &format!("{what} {day}"));
            }
            None => {
                block.text(x, halves - 4.0, strong, what);
                let named = faces.width(strong.weight, size, what) + 4.0;
                block.rule(x + named, halves - named - 8.0, 0.5);
            }
        }
    }
    block.space(size * 0.25);
    block.rule(0.0, width, 0.8);
    block.space(size * 0.25);
    for (title, texts) in [
        (words.before_opening, &housing.before),
        (words.before_service, &housing.after),
    ] {
        if texts.is_empty() {
            continue;
        }
        block.text(0.0, width, strong, title);
        block.text(0.0, width, plain, &texts.join(" "));
    }
    block
}

fn leaves(labels: &Labels, blocks: Vec<Block<'_>>) -> Vec<Leaf> {
    let sheet = labels.sheet;
    let count = sheet.count();
    let mut leaves = vec![Leaf::new()];
    for (index, block) in blocks.into_iter().enumerate() {
        let place = (labels.skip + index) % count;
        if place == 0 && index > 0 {
            leaves.push(Leaf::new());
        }
        let (row, column) = (place / sheet.columns, place % sheet.columns);
        let x = (sheet.origin.0 + column as f32 * sheet.pitch.0) * MM;
        let y = (sheet.origin.1 + row as f32 * sheet.pitch.1) * MM;
        let Some(leaf) = leaves.last_mut() else {
            continue;
        };
        if labels.edges {
            leaf.push(Mark::Framed {
                x,
                y,
                w: sheet.label.0 * MM,
                h: sheet.label.1 * MM,
                line: 0.3,
            });
        }
        for mut mark in block.marks {
            mark.move_by(x + padding(sheet), y + padding(sheet));
            leaf.push(mark);
        }
    }
    leaves
}
