//! The kinds of payload by name.

macro_rules! kinds {
    ($($variant:ident $name:literal,)*) => {
        /// The kind of a payload. `Unknown` is one of a newer program: it is kept and not understood.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[expect(missing_docs, reason = "each is documented at the payload of the same name")]
        pub enum Kind { $($variant,)* Unknown }

        impl Kind {
            /// All that are understood.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// Its name in the frozen format.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* Self::Unknown => "unknown" }
            }

            /// The kind of this name.
            pub fn from_name(name: &str) -> Self {
                match name { $($name => Self::$variant,)* _ => Self::Unknown }
            }
        }
    };
}

kinds! {
    Customer "customer",
    Site "site",
    Unit "unit",
    UnitMoved "unit_moved",
    UnitRetired "unit_retired",
    Water "water",
    Reading "reading",
    Event "event",
    Correction "correction",
    Attachment "attachment",
    Import "import",
    SetAside "set_aside",
    Note "note",
    Settings "settings",
    Visit "visit",
    Work "work",
}
