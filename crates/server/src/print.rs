//! What is printed: job cards, cards for customers, labels. The pages say what stands there, `report` puts it on paper.

use axum::body::Body;
use axum::http::{Method, Response};
use pages::{NotPrinted, Printable, ToPrint, not_printed, to_print};
use report::{About, HousingLabel, LabelSheet, Labels, Paper, ReportError, UnitLabel};

use crate::Error;
use crate::answer::{Asked, sent};
use crate::download::as_file;
use crate::kept::Kept;

/// Where what is printed has its addresses.
pub(crate) const PATH: &str = "/print/";

/// `GET /print/WHAT/UNIT`; none for any other address.
pub(crate) fn answer(kept: &Kept, asked: &Asked) -> Option<Result<Response<Body>, Error>> {
    if asked.method == Method::POST || !asked.path.starts_with(PATH) {
        return None;
    }
    printed(kept, asked).transpose()
}

fn printed(kept: &Kept, asked: &Asked) -> Result<Option<Response<Body>>, Error> {
    let request = asked.request();
    let circumstances = asked.circumstances()?;
    let look = kept.look()?;
    let Some(found) = to_print(look.state(), kept.memo(), &request, &circumstances) else {
        return Ok(None);
    };
    let wanted = match found {
        Ok(wanted) => wanted,
        Err(page) => return Ok(Some(sent(*page, &asked.identity))),
    };
    let why = match pdf(&wanted) {
        Ok(Ok(bytes)) => {
            return Ok(Some(as_file(
                Body::from(bytes),
                "application/pdf",
                &name(&wanted),
            )));
        }
        Ok(Err(why)) => why,
        Err(error) => return Err(Error::System(std::io::Error::other(error))),
    };
    let page = not_printed(look.state(), kept.memo(), &request, &circumstances, &why);
    Ok(Some(sent(page, &asked.identity)))
}

/// "fern-house-card.pdf".
fn name(wanted: &ToPrint) -> String {
    let plain = |c: char| {
        if c.is_ascii_alphanumeric() || c == '-' {
            c
        } else {
            '_'
        }
    };
    let id: String = wanted.id.chars().map(plain).collect();
    let what = match wanted.what {
        Printable::Card(_) => "card",
        Printable::Customer(_) => "customer",
        Printable::Labels { .. } => "labels",
    };
    format!("{id}-{what}.pdf")
}

/// The document; the inner error is the asker's, the outer a fault of the program.
fn pdf(wanted: &ToPrint) -> Result<Result<Vec<u8>, NotPrinted>, ReportError> {
    let Some(paper) = Paper::from_name(&wanted.paper) else {
        return Ok(Err(NotPrinted::Unknown));
    };
    let about = About {
        paper,
        language: wanted.language,
        name: Some(&wanted.unit),
        site: Some(wanted.site.as_str()).filter(|site| !site.is_empty()),
        date: Some(&wanted.day),
        address: Some(&wanted.address),
    };
    let made = match &wanted.what {
        Printable::Card(card) => report::job_card(card, &about),
        Printable::Customer(card) => report::customer_card(card, &about),
        Printable::Labels { sheet, .. } => {
            let first = || LabelSheet::on(paper).next();
            let sheet = match sheet {
                Some(name) => LabelSheet::from_name(paper, name),
                None => first(),
            };
            let Some(labels) = sheet.and_then(|sheet| labels(wanted, sheet)) else {
                return Ok(Err(NotPrinted::Unknown));
            };
            report::labels(&labels)
        }
    };
    match made {
        Ok(bytes) => Ok(Ok(bytes)),
        Err(ReportError::NoRoom { what, label }) => Ok(Err(NotPrinted::NoRoom {
            of: what,
            label: label.to_owned(),
            roomy: roomy(wanted),
        })),
        Err(ReportError::Skip { .. }) => Ok(Err(NotPrinted::Unknown)),
        Err(ReportError::Address { .. }) => Ok(Err(NotPrinted::Address)),
        Err(fault) => Err(fault),
    }
}

/// The sheets that have room for all that is asked for.
fn roomy(wanted: &ToPrint) -> Vec<String> {
    let fits = |sheet: &LabelSheet| {
        labels(wanted, *sheet).is_some_and(|labels| report::labels(&Labels { skip: 0, ..labels }).is_ok())
    };
    LabelSheet::ALL
        .iter()
        .filter(|sheet| fits(sheet))
        .map(|sheet| format!("{} {}", sheet.name, sheet.paper.name()))
        .collect()
}

fn labels(wanted: &ToPrint, sheet: LabelSheet) -> Option<Labels> {
    let Printable::Labels {
        skip,
        edges,
        own,
        housings,
        ..
    } = &wanted.what
    else {
        return None;
    };
    Some(Labels {
        language: wanted.language,
        sheet,
        skip: *skip,
        edges: *edges,
        unit: own.then(|| UnitLabel {
            name: wanted.unit.clone(),
            id: wanted.id.clone(),
            site: Some(wanted.site.clone()).filter(|site| !site.is_empty()),
            contact: None,
            address: wanted.address.clone(),
        }),
        housings: housings
            .iter()
            .map(|(note, days)| HousingLabel {
                unit: wanted.unit.clone(),
                part: note.part.clone(),
                what: note.what.clone(),
                before: note.before.clone(),
                after: note.after.clone(),
                since: days.since.map(|day| day.to_string()),
                due: days.due.map(|day| day.to_string()),
            })
            .collect(),
    })
}
