//! What there is to say of a water, without its language: [`Said`] shows itself in English, and a page words it for its
//! reader.

use std::fmt;

use crate::CHECKED_IONIC_STRENGTH_MOL_KG;
use crate::decimals::decimals_apart;
use crate::mineral::Mineral;
use crate::threats::Threat;

/// A limit of the recovery.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Keep {
    /// No recovery keeps this mineral within what is allowed.
    Nowhere(Mineral),
    /// The recovery to keep below.
    Below {
        /// The mineral that comes first.
        mineral: Mineral,
        /// The recovery, 0 to 1.
        recovery: f64,
        /// Between which recoveries it lies eight times in ten, where something was assumed.
        likely: Option<(f64, f64)>,
    },
    /// No mineral known of limits it.
    Free,
}

/// The state at a recovery that was asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct At {
    /// The recovery, 0 to 1.
    pub recovery: f64,
    /// The mineral that is furthest over saturation, with its index; none where none is.
    pub worst: Option<(Mineral, f64)>,
}

/// What a conductivity is made by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// A whole analysis.
    ByIons,
    /// Hardness, alkalinity and the ions that were given.
    ByKit,
    /// The ions that were given alone.
    ByGiven,
}

/// What values were filled in to meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Met {
    /// The balance of the charges.
    Charges,
    /// That and the conductivity.
    Conductivity,
    /// That and the dissolved solids.
    Tds,
}

/// Something to say of a water: a finding, a contradiction, or something that was filled in.
#[derive(Clone, Debug, PartialEq)]
pub enum Said {
    /// Only the salt content is known.
    OnlySalt {
        /// mg/L as sodium chloride.
        tds_mg_l: f64,
    },
    /// The recovery to keep below.
    Limit {
        /// What there is at a recovery that was asked for.
        at: Option<At>,
        /// Whether a softener stands before it.
        softened: bool,
        /// Whether an antiscalant does.
        antiscalant: bool,
        /// The limit.
        keep: Keep,
    },
    /// What the two treatments would change: the mineral that would come first, and where.
    Treatments {
        /// With an antiscalant.
        antiscalant: Option<(Mineral, f64)>,
        /// With a softener.
        softener: Option<(Mineral, f64)>,
    },
    /// Neither changes amorphous silica.
    SilicaStays {
        /// The recovery that it allows, 0 to 1.
        recovery: f64,
    },
    /// Ions that were not analysed, by their fields: what they form is not judged.
    NotJudged(Vec<&'static str>),
    /// Something in the feed is over its limit.
    Threat(Threat),
    /// A concentrate beyond what the chemistry is checked to.
    StrongConcentrate {
        /// Ionic strength, mol/kg.
        mol_kg: f64,
    },
    /// A water beyond what the chemistry is checked to.
    Strong {
        /// Ionic strength, mol/kg.
        mol_kg: f64,
    },
    /// The charges do not balance.
    Unbalanced {
        /// Cations over anions, percent.
        percent: f64,
    },
    /// The conductivity read is not what the ions make.
    Conductivity {
        /// What makes it.
        by: Made,
        /// What is made, uS/cm at 25 C.
        made_us_cm: f64,
        /// What was read, uS/cm at 25 C.
        read_us_cm: f64,
    },
    /// The hardness read is not what calcium and magnesium make.
    Hardness {
        /// What was read, mg/L as `CaCO3`.
        read: f64,
        /// What the two make, mg/L as `CaCO3`.
        made: f64,
    },
    /// No natural water has this ratio of solids to conductivity.
    TdsRatio {
        /// mg/L.
        tds_mg_l: f64,
        /// uS/cm at 25 C.
        us_cm: f64,
    },
    /// The solids read are not what the ions sum to.
    Tds {
        /// What was read, mg/L.
        read: f64,
        /// The ions' sum with bicarbonate whole, mg/L.
        whole: f64,
        /// The ions' sum as residue on evaporation, mg/L.
        residue: f64,
    },
    /// The alkalinity is a kit's resolution too small for the pH.
    AlkalinityRaised {
        /// mg/L as `CaCO3`.
        read: f64,
        /// The pH.
        ph: f64,
        /// The least that the pH needs, mg/L as `CaCO3`.
        least: f64,
    },
    /// No temperature was given.
    TemperatureTaken {
        /// C.
        celsius: f64,
    },
    /// No pH was given.
    PhTaken(f64),
    /// The pH says nothing without an alkalinity.
    PhNotUsed,
    /// Calcium and magnesium from the hardness: the share of calcium.
    HardnessSplit(f64),
    /// One of the two from the hardness less the other, by their fields.
    FromHardness {
        /// The one that was given.
        given: &'static str,
        /// The other.
        other: &'static str,
    },
    /// The one salt is taken as sodium chloride.
    SaltAlone,
    /// Magnesium in its typical proportion to calcium.
    MagnesiumTaken,
    /// Calcium in its typical proportion to magnesium.
    CalciumTaken,
    /// Alkalinity as a share of the hardness, in equivalents.
    AlkalinityTaken(f64),
    /// Hardness in its typical proportion to the alkalinity.
    HardnessTaken,
    /// Hardness in its typical share of the cations.
    HardnessOfCations,
    /// Constituents filled in, by their fields.
    FilledIn {
        /// Which.
        fields: Vec<&'static str>,
        /// So that what is met.
        met: Met,
    },
    /// Less chloride than is typical, so that the field is met.
    LessChloride {
        /// Its share of the rest.
        share: f64,
        /// What asks for it: `conductivity` or `tds`.
        field: &'static str,
    },
}

fn percent(fraction: f64) -> String {
    format!("{:.0} %", 100.0 * fraction)
}

/// How many times over saturation an index is, as it is written.
pub fn times_over(si: f64) -> String {
    let n = 10_f64.powf(si);
    if n < 10.0 {
        format!("{n:.1}")
    } else {
        format!("{n:.0}")
    }
}

fn limit(keep: Keep, softened: bool, antiscalant: bool) -> String {
    let with = match (softened, antiscalant) {
        (true, true) => "after the softener, with the antiscalant,",
        (true, false) => "after the softener",
        (false, true) => "with the antiscalant",
        (false, false) => "without softening or antiscalant",
    };
    match keep {
        Keep::Nowhere(mineral) => {
            format!(
                "{with} no recovery keeps {} within what is allowed",
                mineral.title()
            )
        }
        Keep::Below {
            mineral,
            recovery,
            likely,
        } => {
            let range = likely.map_or_else(String::new, |(low, high)| {
                format!(
                    " (for what was assumed, between {} and {})",
                    percent(low),
                    percent(high)
                )
            });
            format!(
                "{with} keep below about {}{range}, where {} comes first",
                percent(recovery),
                mineral.title()
            )
        }
        Keep::Free => format!("{with} no mineral known of limits the recovery below 95 %"),
    }
}

fn treated(what: &str, first: Option<(Mineral, f64)>) -> String {
    match first {
        Some((mineral, recovery)) => {
            format!("{what} {} comes first, at {}", mineral.title(), percent(recovery))
        }
        None => format!("{what} no mineral known of limits the recovery below 95 %"),
    }
}

impl fmt::Display for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OnlySalt { .. }
            | Self::Limit { .. }
            | Self::Treatments { .. }
            | Self::SilicaStays { .. }
            | Self::NotJudged(_)
            | Self::Threat(_) => self.finding(f),
            Self::StrongConcentrate { .. }
            | Self::Strong { .. }
            | Self::Unbalanced { .. }
            | Self::Conductivity { .. }
            | Self::Hardness { .. }
            | Self::TdsRatio { .. }
            | Self::Tds { .. }
            | Self::AlkalinityRaised { .. } => self.warning(f),
            _ => self.assumption(f),
        }
    }
}

impl Said {
    fn finding(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OnlySalt { tds_mg_l } => write!(
                f,
                "Only the salt content is known ({tds_mg_l:.0} mg/L as sodium chloride): scale cannot be judged."
            ),
            Self::Limit {
                at,
                softened,
                antiscalant,
                keep,
            } => {
                let mut text = limit(*keep, *softened, *antiscalant);
                let Some(At { recovery, worst }) = at else {
                    if let Some(c) = text.get(..1).map(str::to_uppercase) {
                        text.replace_range(..1, &c);
                    }
                    return write!(f, "{text}.");
                };
                match worst {
                    Some((mineral, si)) => write!(
                        f,
                        "At {} recovery {} is {} times over saturation; {text}.",
                        percent(*recovery),
                        mineral.title(),
                        times_over(*si)
                    ),
                    None => write!(
                        f,
                        "At {} recovery no mineral known of is over saturation; {text}.",
                        percent(*recovery)
                    ),
                }
            }
            Self::Treatments {
                antiscalant,
                softener,
            } => write!(
                f,
                "{}; {}.",
                treated(
                    "With an antiscalant stage (which changes calcite only)",
                    *antiscalant
                ),
                treated(
                    "with a softener (which takes the hardness, barium and strontium)",
                    *softener
                )
            ),
            Self::SilicaStays { recovery } => write!(
                f,
                "Neither changes amorphous silica, which allows {}.",
                percent(*recovery)
            ),
            Self::NotJudged(ions) => write!(
                f,
                "Not analysed, so the scale that it may form is not judged: {}.",
                ions.join(", ")
            ),
            Self::Threat(threat) => f.write_str(&threat.sentence),
            _ => Ok(()),
        }
    }

    fn warning(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::StrongConcentrate { mol_kg } => write!(
                f,
                "concentrate: ionic strength {mol_kg:.2} mol/kg, the chemistry is checked to \
                 {CHECKED_IONIC_STRENGTH_MOL_KG}"
            ),
            Self::Strong { mol_kg } => {
                let digits = decimals_apart(*mol_kg, CHECKED_IONIC_STRENGTH_MOL_KG, 2);
                write!(
                    f,
                    "ionic strength {mol_kg:.digits$} mol/kg: the chemistry is checked to \
                     {CHECKED_IONIC_STRENGTH_MOL_KG}"
                )
            }
            Self::Unbalanced { percent } => {
                let more = if *percent > 0.0 { "cations" } else { "anions" };
                let digits = decimals_apart(percent.abs(), 5.0, 1);
                write!(
                    f,
                    "charge balance {percent:+.digits$} %: there are more {more} than the rest can balance; one \
                     analysis is off by more than 5 %"
                )
            }
            Self::Conductivity {
                by,
                made_us_cm,
                read_us_cm,
            } => {
                let which = match by {
                    Made::ByIons => "the ions",
                    Made::ByKit => "hardness, alkalinity and the ions given",
                    Made::ByGiven => "the ions given",
                };
                let digits = decimals_apart(*made_us_cm, *read_us_cm, 0);
                write!(
                    f,
                    "conductivity: {which} make {made_us_cm:.digits$} uS/cm at 25 C, {read_us_cm:.digits$} was read; \
                     they contradict each other"
                )
            }
            Self::Hardness { read, made } => write!(
                f,
                "hardness: {read:.0} mg/L as CaCO3 was read, calcium and magnesium make {made:.0}; the two ions are used"
            ),
            Self::TdsRatio { tds_mg_l, us_cm } => write!(
                f,
                "tds: {tds_mg_l:.0} mg/L over {us_cm:.0} uS/cm is {:.2}; natural waters lie between 0.45 and 0.9",
                tds_mg_l / us_cm
            ),
            Self::Tds { read, whole, residue } => {
                let digits = decimals_apart(*read, *whole, 0).max(decimals_apart(*read, *residue, 0));
                write!(
                    f,
                    "tds: {read:.digits$} mg/L was read, the ions sum to {whole:.digits$} with bicarbonate whole and \
                     {residue:.digits$} as residue on evaporation"
                )
            }
            Self::AlkalinityRaised { read, ph, least } => {
                let digits = decimals_apart(*read, *least, 2);
                write!(
                    f,
                    "alkalinity: {read:.digits$} mg/L as CaCO3 is less than pH {ph} needs ({least:.digits$}); taken as \
                     that, for a test kit cannot tell the two"
                )
            }
            _ => Ok(()),
        }
    }

    fn assumption(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TemperatureTaken { celsius } => {
                write!(f, "temperature was not given: taken as {celsius:.0} C")
            }
            Self::PhTaken(ph) => write!(f, "ph was not given: taken as {ph:.1}"),
            Self::PhNotUsed => {
                f.write_str("ph was not used: without alkalinity it says nothing of the carbonate")
            }
            Self::HardnessSplit(share) => write!(
                f,
                "calcium and magnesium from the hardness: {} of it calcium, typical of natural waters",
                percent(*share)
            ),
            Self::FromHardness { given, other } => write!(f, "{other} from the hardness less the {given}"),
            Self::SaltAlone => f.write_str(
                "no ion, hardness or alkalinity was given: the one salt is taken as sodium chloride, and no scale or \
                 CO2 can be computed",
            ),
            Self::MagnesiumTaken => {
                f.write_str("magnesium was not given: taken in its typical proportion to calcium")
            }
            Self::CalciumTaken => {
                f.write_str("calcium was not given: taken in its typical proportion to magnesium")
            }
            Self::AlkalinityTaken(ratio) => write!(
                f,
                "alkalinity was not given: taken as {ratio:.2} of the hardness, in equivalents, typical of natural waters"
            ),
            Self::HardnessTaken => {
                f.write_str("hardness was not given: taken in its typical proportion to the alkalinity")
            }
            Self::HardnessOfCations => {
                f.write_str("hardness was not given: taken in its typical share of the cations")
            }
            Self::FilledIn { fields, met } => {
                let by = match met {
                    Met::Charges => "so that the charges balance",
                    Met::Conductivity => "so that the charges balance and the conductivity is met",
                    Met::Tds => "so that the charges balance and the tds is met",
                };
                write!(
                    f,
                    "{} filled in {by}, otherwise in typical proportions",
                    fields.join(", ")
                )
            }
            Self::LessChloride { share, field } => write!(
                f,
                "less of the rest is chloride than is typical ({} of it), for sulfate conducts less and the {field} asks \
                 for it",
                percent(*share)
            ),
            _ => Ok(()),
        }
    }
}
