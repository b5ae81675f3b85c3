//! The words of headings, in English, German, Spanish and French, and what each says.

/// A set of notions that a heading's words carry.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Notions(u64);

macro_rules! notions {
    ($($(#[$doc:meta])* $name:ident = $bit:literal;)*) => {
        #[allow(dead_code, reason = "every notion has its bit, whether or not a rule asks for it alone")]
        impl Notions { $($(#[$doc])* pub(crate) const $name: Self = Self(1 << $bit);)* }
    };
}

notions! {
    /// Water before the unit.
    FEED = 0;
    PERMEATE = 1;
    /// "RO" alone: the permeate, unless another place is named.
    RO = 2;
    CONCENTRATE = 3;
    MEMBRANE = 4;
    /// The supply's own pressure: line, mains, street.
    LINE = 5;
    BEFORE = 6;
    AFTER = 7;
    IN = 8;
    OUT = 9;
    FILTER = 10;
    SEDIMENT = 11;
    CARBON = 12;
    SOFTENER = 13;
    RESIN = 14;
    PUMP = 15;
    TANK = 16;
    TEMPERATURE = 17;
    PRESSURE = 18;
    FLOW = 19;
    CONDUCTIVITY = 20;
    TDS = 21;
    TOTAL = 22;
    CHLORINE = 23;
    FREE = 24;
    HOURS = 25;
    HARDNESS = 26;
    RUNNING = 27;
    DATE = 28;
    TIME = 29;
    NOTE = 30;
    BY = 31;
    /// Something no field is for.
    OTHER = 32;
    /// Computed from other columns: rejection, recovery, differences, averages, normalised values.
    DERIVED = 33;
    /// Air, room: not the water.
    AIR = 34;
    /// Filling, timing, a bucket.
    TIMED = 35;
    /// Pressure of the running system: working, operating.
    WORKING = 36;
    WATER = 37;
    /// Words in a language other than English.
    FOREIGN = 38;
}

impl Notions {
    pub(crate) const NONE: Self = Self(0);

    pub(crate) fn has(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    pub(crate) fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    pub(crate) fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether it says anything beside the language.
    pub(crate) fn is_empty(self) -> bool {
        self.0 & !Self::FOREIGN.0 == 0
    }
}

/// Lower case without accents: `Härte` -> `harte`, `presión` -> `presion`.
pub(crate) fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'á' | 'à' | 'â' | 'ä' | 'ã' | 'å' => out.push('a'),
            'é' | 'è' | 'ê' | 'ë' => out.push('e'),
            'í' | 'ì' | 'î' | 'ï' => out.push('i'),
            'ó' | 'ò' | 'ô' | 'ö' | 'õ' => out.push('o'),
            'ú' | 'ù' | 'û' | 'ü' => out.push('u'),
            'ñ' => out.push('n'),
            'ç' => out.push('c'),
            'ß' => out.push_str("ss"),
            'œ' => out.push_str("oe"),
            // A decomposed accent.
            '\u{300}'..='\u{36f}' => {}
            'μ' | 'µ' => out.push('u'),
            c => out.push(c),
        }
    }
    out
}

/// What one folded word says; nothing where it is not known.
pub(crate) fn of_word(word: &str) -> Notions {
    if let Some(&(_, notions)) = WORDS.iter().find(|(words, _)| words.contains(&word)) {
        return notions;
    }
    if let Some(&(_, notions)) = FOREIGN_WORDS.iter().find(|(words, _)| words.contains(&word)) {
        return notions.with(Notions::FOREIGN);
    }
    if word.len() < 6 {
        return Notions::NONE;
    }
    // German writes `Speisewasserdruck`, and everyone misspells the ends of long words.
    let mut notions = Notions::NONE;
    for (stem, notion) in STEMS {
        if word.contains(stem) {
            notions = notions.with(*notion);
        }
    }
    for (prefix, notion) in PREFIXES {
        if word.starts_with(prefix) && !notions.is_empty() {
            notions = notions.with(*notion);
        }
    }
    notions
}

const fn two(a: Notions, b: Notions) -> Notions {
    Notions(a.0 | b.0)
}

type Entry = (&'static [&'static str], Notions);

static WORDS: &[Entry] = &[
    (
        &[
            "feed",
            "fd",
            "tap",
            "inlet",
            "raw",
            "source",
            "src",
            "incoming",
            "well",
            "bore",
            "borehole",
            "influent",
            "inf",
            "infeed",
            "untreated",
            "unfiltered",
            "rw",
            "fw",
        ],
        Notions::FEED,
    ),
    (
        &[
            "line",
            "mains",
            "main",
            "supply",
            "street",
            "city",
            "house",
            "static",
            "municipal",
            "town",
            "network",
            "incoming",
        ],
        Notions::LINE,
    ),
    (
        &[
            "permeate",
            "perm",
            "permeat",
            "product",
            "prod",
            "pure",
            "purified",
            "treated",
            "clean",
            "filtered",
            "produced",
            "production",
            "made",
            "effluent",
            "good",
            "pw",
            "permiate",
            "permeates",
        ],
        Notions::PERMEATE,
    ),
    (&["ro", "osmosis"], Notions::RO),
    (
        &[
            "concentrate",
            "conc",
            "concentrat",
            "reject",
            "rejects",
            "rej",
            "drain",
            "drained",
            "waste",
            "wastewater",
            "brine",
            "retentate",
            "blowdown",
            "discharge",
            "dump",
        ],
        Notions::CONCENTRATE,
    ),
    (
        &[
            "membrane",
            "membranes",
            "memb",
            "mem",
            "membr",
            "element",
            "vessel",
        ],
        Notions::MEMBRANE,
    ),
    (&["before", "pre", "upstream", "ahead", "bef"], Notions::BEFORE),
    (
        &["after", "post", "downstream", "aft", "following", "behind"],
        Notions::AFTER,
    ),
    (&["in", "into", "ingoing"], Notions::IN),
    (&["out", "outgoing", "exit", "outlet"], Notions::OUT),
    (
        &[
            "filter",
            "filters",
            "cartridge",
            "cartridges",
            "filt",
            "fltr",
            "housing",
        ],
        Notions::FILTER,
    ),
    (
        &["prefilter", "prefilters", "prefilt"],
        two(Notions::FILTER, Notions::BEFORE),
    ),
    (
        &["postfilter", "postfilters"],
        two(Notions::FILTER, Notions::AFTER),
    ),
    (
        &["sediment", "sed", "micron", "5um"],
        two(Notions::SEDIMENT, Notions::FILTER),
    ),
    (
        &["carbon", "carb", "gac", "charcoal", "cb"],
        two(Notions::CARBON, Notions::FILTER),
    ),
    (&["softener", "softner", "soft", "softened"], Notions::SOFTENER),
    (
        &[
            "resin",
            "di",
            "deion",
            "deionised",
            "deionized",
            "deioniser",
            "deionizer",
            "mixed",
            "polish",
            "polisher",
            "polishing",
        ],
        Notions::RESIN,
    ),
    (&["pump", "booster", "boost", "boosted"], Notions::PUMP),
    (&["tank", "storage", "reservoir", "tanklevel"], Notions::TANK),
    (
        &[
            "temperature",
            "temp",
            "temps",
            "watertemp",
            "t",
            "tw",
            "deg",
            "celsius",
            "fahrenheit",
        ],
        Notions::TEMPERATURE,
    ),
    (
        &[
            "pressure",
            "pressures",
            "press",
            "pres",
            "p",
            "gauge",
            "gage",
            "prs",
        ],
        Notions::PRESSURE,
    ),
    (
        &[
            "flow",
            "flows",
            "flowrate",
            "q",
            "output",
            "capacity",
            "yield",
            "throughput",
        ],
        Notions::FLOW,
    ),
    (&["rate"], Notions::FLOW),
    (
        &[
            "conductivity",
            "cond",
            "ec",
            "conduct",
            "resistivity",
            "microsiemens",
            "conductance",
            "cnd",
        ],
        Notions::CONDUCTIVITY,
    ),
    (
        &[
            "tds",
            "salt",
            "salts",
            "solids",
            "salinity",
            "concentration",
            "konzentration",
            "concentracion",
        ],
        Notions::TDS,
    ),
    (
        &[
            "total",
            "totaliser",
            "totalizer",
            "totalised",
            "totalized",
            "tot",
            "cumulative",
            "counter",
            "odometer",
            "totals",
            "watermeter",
        ],
        Notions::TOTAL,
    ),
    (
        &[
            "chlorine",
            "cl2",
            "cl",
            "chlor",
            "fcl",
            "chloramine",
            "tcl",
            "dpd",
        ],
        Notions::CHLORINE,
    ),
    (&["free"], Notions::FREE),
    (&["hours", "hrs", "hr", "hourmeter", "runhours"], Notions::HOURS),
    (&["hardness", "hard", "gh", "caco3"], Notions::HARDNESS),
    (
        &["running", "runtime", "ran", "run", "uptime", "warmup"],
        Notions::RUNNING,
    ),
    (
        &[
            "date",
            "day",
            "dated",
            "visit",
            "visited",
            "dt",
            "when",
            "timestamp",
            "datetime",
        ],
        Notions::DATE,
    ),
    (&["time", "clock", "hour"], Notions::TIME),
    (
        &[
            "note",
            "notes",
            "remark",
            "remarks",
            "comment",
            "comments",
            "observation",
            "observations",
            "work",
            "action",
            "actions",
            "maintenance",
            "service",
            "maint",
            "description",
            "details",
            "done",
            "what",
            "info",
            "memo",
            "log",
            "events",
            "event",
            "misc",
            "changes",
            "changed",
            "change",
            "parts",
            "activity",
        ],
        Notions::NOTE,
    ),
    (
        &[
            "by",
            "tech",
            "technician",
            "initials",
            "name",
            "who",
            "operator",
            "engineer",
            "init",
            "inits",
            "person",
            "reader",
            "signed",
            "sign",
            "signature",
            "employee",
            "staff",
        ],
        Notions::BY,
    ),
    (
        &[
            "ph",
            "orp",
            "turbidity",
            "ntu",
            "iron",
            "fe",
            "silica",
            "alkalinity",
            "nitrate",
            "level",
            "status",
            "alarm",
            "setpoint",
            "amps",
            "volts",
            "voltage",
            "current",
            "power",
            "kwh",
            "cost",
            "price",
            "invoice",
            "customer",
            "location",
            "serial",
            "sdi",
            "target",
            "limit",
            "spec",
            "weather",
            "rain",
            "colour",
            "color",
            "odour",
            "taste",
            "sanitiser",
            "antiscalant",
            "dose",
            "dosing",
        ],
        Notions::OTHER,
    ),
    (
        &[
            "rejection",
            "recovery",
            "ratio",
            "normalised",
            "normalized",
            "norm",
            "standardised",
            "standardized",
            "corrected",
            "delta",
            "differential",
            "difference",
            "diff",
            "dp",
            "efficiency",
            "average",
            "avg",
            "mean",
            "percent",
            "drop",
            "loss",
            "ndp",
            "tcf",
            "factor",
            "passage",
            "expected",
            "since",
            "theoretical",
            "calc",
            "calculated",
            "days",
            "trend",
        ],
        Notions::DERIVED,
    ),
    (
        &["air", "room", "ambient", "outdoor", "outside", "indoor"],
        Notions::AIR,
    ),
    (
        &[
            "fill",
            "filling",
            "bucket",
            "jug",
            "seconds",
            "secs",
            "timed",
            "stopwatch",
            "collect",
            "collected",
            "catch",
            "caught",
        ],
        Notions::TIMED,
    ),
    (&["working", "operating", "system", "op"], Notions::WORKING),
    (&["water"], Notions::WATER),
];

static FOREIGN_WORDS: &[Entry] = &[
    // German.
    (
        &[
            "speise",
            "speisewasser",
            "zulauf",
            "eingang",
            "rohwasser",
            "roh",
            "leitungswasser",
            "hahn",
            "stadtwasser",
            "brunnen",
            "trinkwasser",
            "ein",
            "eingangswasser",
            "zufluss",
        ],
        Notions::FEED,
    ),
    (&["leitung", "netz", "netzdruck", "leitungsdruck"], Notions::LINE),
    (
        &[
            "reinwasser",
            "produkt",
            "produktwasser",
            "osmosewasser",
            "permeatwasser",
            "produktion",
            "rein",
            "gereinigt",
        ],
        Notions::PERMEATE,
    ),
    (&["osmose", "uo", "umkehrosmose"], Notions::RO),
    (
        &[
            "konzentrat",
            "abwasser",
            "abfluss",
            "sole",
            "spulwasser",
            "verwurf",
            "konz",
        ],
        Notions::CONCENTRATE,
    ),
    (&["membran", "membranen", "modul"], Notions::MEMBRANE),
    (&["vor"], Notions::BEFORE),
    (&["nach", "hinter"], Notions::AFTER),
    (&["aus", "ausgang", "ablauf", "auslass"], Notions::OUT),
    (
        &["patrone", "kerze", "filterkerze", "filtern", "vorfiltern"],
        Notions::FILTER,
    ),
    (
        &["kohle", "aktivkohle", "kohlefilter", "aktivkohlefilter", "ak"],
        two(Notions::CARBON, Notions::FILTER),
    ),
    (
        &["enthartung", "enthaerter", "enthaertung", "weich", "weichwasser"],
        Notions::SOFTENER,
    ),
    (&["harz", "mischbett", "ve"], Notions::RESIN),
    (&["pumpe", "pumpen"], Notions::PUMP),
    (&["behalter", "speicher"], Notions::TANK),
    (
        &["temperatur", "wassertemp", "wassertemperatur"],
        Notions::TEMPERATURE,
    ),
    (&["druck", "drucke", "manometer"], Notions::PRESSURE),
    (
        &["durchfluss", "menge", "fluss", "leistung", "volumenstrom"],
        Notions::FLOW,
    ),
    (
        &["leitfahigkeit", "leitfaehigkeit", "leitwert", "lf", "leitf", "lw"],
        Notions::CONDUCTIVITY,
    ),
    (&["salzgehalt", "salz"], Notions::TDS),
    (
        &[
            "zahler",
            "zahlerstand",
            "wasserzahler",
            "zaehler",
            "zaehlerstand",
            "wasseruhr",
            "gesamt",
            "summe",
        ],
        Notions::TOTAL,
    ),
    (&["chlorgehalt", "restchlor"], Notions::CHLORINE),
    (&["freies", "frei", "freie"], Notions::FREE),
    (
        &[
            "betriebsstunden",
            "stunden",
            "bh",
            "betriebsstd",
            "bstd",
            "laufstunden",
        ],
        Notions::HOURS,
    ),
    (&["harte", "haerte", "gesamtharte"], Notions::HARDNESS),
    (&["laufzeit", "laufend", "gelaufen"], Notions::RUNNING),
    (&["datum", "tag", "besuch", "zeitpunkt"], Notions::DATE),
    (&["uhrzeit", "zeit", "uhr"], Notions::TIME),
    (
        &[
            "bemerkung",
            "bemerkungen",
            "notiz",
            "notizen",
            "anmerkung",
            "anmerkungen",
            "kommentar",
            "kommentare",
            "arbeiten",
            "arbeit",
            "massnahme",
            "massnahmen",
            "wartung",
            "hinweis",
            "hinweise",
            "bem",
            "sonstiges",
        ],
        Notions::NOTE,
    ),
    (
        &[
            "techniker",
            "bearbeiter",
            "kurzel",
            "monteur",
            "von",
            "wer",
            "abgelesen",
        ],
        Notions::BY,
    ),
    (
        &["anlage", "kunde", "standort", "seriennummer", "fullstand"],
        Notions::OTHER,
    ),
    (
        &[
            "ruckhalt",
            "ruckhaltung",
            "ausbeute",
            "differenz",
            "differenzdruck",
            "mittelwert",
            "rueckhalt",
        ],
        Notions::DERIVED,
    ),
    (
        &[
            "luft",
            "raum",
            "aussen",
            "raumtemperatur",
            "aussentemperatur",
            "lufttemperatur",
        ],
        Notions::AIR,
    ),
    (&["sekunden", "eimer", "fullen", "fullzeit"], Notions::TIMED),
    (
        &["betriebsdruck", "arbeitsdruck"],
        two(Notions::WORKING, Notions::PRESSURE),
    ),
    (&["wasser"], Notions::WATER),
    // Spanish.
    (
        &[
            "entrada",
            "alimentacion",
            "alim",
            "cruda",
            "bruta",
            "grifo",
            "pozo",
            "aporte",
            "ent",
            "afluente",
            "potable",
        ],
        Notions::FEED,
    ),
    (&["red", "linea", "acometida", "suministro"], Notions::LINE),
    (
        &[
            "permeado",
            "producto",
            "pura",
            "tratada",
            "producida",
            "purificada",
            "produccion",
            "osmotizada",
            "filtrada",
        ],
        Notions::PERMEATE,
    ),
    (&["osmosis", "oi"], Notions::RO),
    (
        &[
            "rechazo",
            "concentrado",
            "drenaje",
            "desague",
            "salmuera",
            "desecho",
            "rechazada",
            "descarga",
        ],
        Notions::CONCENTRATE,
    ),
    (&["membrana", "membranas"], Notions::MEMBRANE),
    (&["salida"], Notions::OUT),
    (&["antes", "previo"], Notions::BEFORE),
    (&["despues", "tras", "posterior", "post"], Notions::AFTER),
    (&["filtro", "filtros", "cartucho", "cartuchos"], Notions::FILTER),
    (
        &["prefiltro", "prefiltros"],
        two(Notions::FILTER, Notions::BEFORE),
    ),
    (
        &["sedimento", "sedimentos"],
        two(Notions::SEDIMENT, Notions::FILTER),
    ),
    (&["carbon", "carbono"], two(Notions::CARBON, Notions::FILTER)),
    (
        &["descalcificador", "ablandador", "suavizador"],
        Notions::SOFTENER,
    ),
    (&["resina", "resinas"], Notions::RESIN),
    (&["bomba"], Notions::PUMP),
    (&["tanque", "deposito", "cisterna"], Notions::TANK),
    (&["temperatura", "tempagua"], Notions::TEMPERATURE),
    (&["presion", "manometro"], Notions::PRESSURE),
    (&["caudal", "flujo", "gasto"], Notions::FLOW),
    (
        &["conductividad", "ce", "conduct", "conductiv"],
        Notions::CONDUCTIVITY,
    ),
    (
        &["sdt", "std", "stdd", "sales", "solidos", "salinidad"],
        Notions::TDS,
    ),
    (
        &["contador", "totalizador", "acumulado", "medidor", "totalizado"],
        Notions::TOTAL,
    ),
    (&["cloro"], Notions::CHLORINE),
    (&["libre"], Notions::FREE),
    (&["horas", "horometro"], Notions::HOURS),
    (&["dureza"], Notions::HARDNESS),
    (&["funcionando", "marcha"], Notions::RUNNING),
    (&["fecha", "dia", "visita"], Notions::DATE),
    (&["hora"], Notions::TIME),
    (
        &[
            "observaciones",
            "observacion",
            "nota",
            "notas",
            "comentario",
            "comentarios",
            "trabajo",
            "trabajos",
            "mantenimiento",
            "obs",
            "incidencias",
            "acciones",
            "cambios",
        ],
        Notions::NOTE,
    ),
    (
        &[
            "tecnico",
            "operador",
            "operario",
            "nombre",
            "responsable",
            "por",
            "quien",
        ],
        Notions::BY,
    ),
    (&["cliente", "equipo", "nivel", "ubicacion"], Notions::OTHER),
    (
        &["recuperacion", "diferencia", "diferencial", "promedio", "media"],
        Notions::DERIVED,
    ),
    (&["aire", "ambiente"], Notions::AIR),
    (
        &[
            "segundos", "segs", "cubo", "balde", "llenado", "llenar", "llenarse",
        ],
        Notions::TIMED,
    ),
    (&["trabajando", "operacion"], Notions::WORKING),
    (&["agua"], Notions::WATER),
    // French.
    (
        &["entree", "alimentation", "brute", "robinet", "reseau", "arrivee"],
        Notions::FEED,
    ),
    (
        &["permeats", "produit", "produite", "osmosee", "purifiee"],
        Notions::PERMEATE,
    ),
    (
        &["rejet", "concentrat", "saumure", "egout", "rejets"],
        Notions::CONCENTRATE,
    ),
    (&["sortie"], Notions::OUT),
    (&["avant", "amont"], Notions::BEFORE),
    (&["apres", "aval"], Notions::AFTER),
    (&["filtre", "filtres", "cartouche"], Notions::FILTER),
    (&["charbon"], two(Notions::CARBON, Notions::FILTER)),
    (&["adoucisseur"], Notions::SOFTENER),
    (&["pompe"], Notions::PUMP),
    (&["reservoir", "cuve"], Notions::TANK),
    (&["pression"], Notions::PRESSURE),
    (&["debit"], Notions::FLOW),
    (&["conductivite"], Notions::CONDUCTIVITY),
    (&["compteur", "cumul"], Notions::TOTAL),
    (&["chlore"], Notions::CHLORINE),
    (&["heures"], Notions::HOURS),
    (&["durete"], Notions::HARDNESS),
    (&["jour", "visite"], Notions::DATE),
    (&["heure"], Notions::TIME),
    (
        &["remarque", "remarques", "commentaire", "commentaires", "travaux"],
        Notions::NOTE,
    ),
    (&["technicien", "operateur", "nom"], Notions::BY),
    (&["secondes", "seau"], Notions::TIMED),
    (&["eau"], Notions::WATER),
];

/// Parts of long words.
static STEMS: &[(&str, Notions)] = &[
    ("permeat", Notions::PERMEATE),
    ("reinwasser", Notions::PERMEATE),
    ("konzentrat", two(Notions::CONCENTRATE, Notions::FOREIGN)),
    ("concentrat", Notions::CONCENTRATE),
    ("abwasser", two(Notions::CONCENTRATE, Notions::FOREIGN)),
    ("speise", two(Notions::FEED, Notions::FOREIGN)),
    ("rohwasser", two(Notions::FEED, Notions::FOREIGN)),
    ("eingang", two(Notions::FEED, Notions::FOREIGN)),
    ("zulauf", two(Notions::FEED, Notions::FOREIGN)),
    ("leitungs", two(Notions::LINE, Notions::FOREIGN)),
    ("leitfahig", two(Notions::CONDUCTIVITY, Notions::FOREIGN)),
    ("leitfaehig", two(Notions::CONDUCTIVITY, Notions::FOREIGN)),
    ("leitwert", two(Notions::CONDUCTIVITY, Notions::FOREIGN)),
    ("conductiv", Notions::CONDUCTIVITY),
    ("druck", two(Notions::PRESSURE, Notions::FOREIGN)),
    ("pressure", Notions::PRESSURE),
    ("temperat", Notions::TEMPERATURE),
    ("durchfluss", two(Notions::FLOW, Notions::FOREIGN)),
    ("leistung", two(Notions::FLOW, Notions::FOREIGN)),
    ("menge", two(Notions::FLOW, Notions::FOREIGN)),
    ("membran", Notions::MEMBRANE),
    ("chlor", Notions::CHLORINE),
    ("harte", Notions::HARDNESS),
    ("haerte", Notions::HARDNESS),
    ("zahler", two(Notions::TOTAL, Notions::FOREIGN)),
    ("betriebsstund", two(Notions::HOURS, Notions::FOREIGN)),
    ("filter", Notions::FILTER),
    (
        "kohle",
        two(two(Notions::CARBON, Notions::FILTER), Notions::FOREIGN),
    ),
    ("sediment", two(Notions::SEDIMENT, Notions::FILTER)),
    ("bemerk", two(Notions::NOTE, Notions::FOREIGN)),
    ("pumpen", two(Notions::PUMP, Notions::FOREIGN)),
];

/// Beginnings of long words that hold a known part: `Vordruck`, `Nachfilter`, `pre-membrane`.
static PREFIXES: &[(&str, Notions)] = &[
    ("vor", Notions::BEFORE),
    ("nach", Notions::AFTER),
    ("pre", Notions::BEFORE),
    ("post", Notions::AFTER),
    ("gesamt", Notions::TOTAL),
    ("frei", Notions::FREE),
];
