//! What an entry is about.

use std::fmt;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

/// A unit, a site, a customer or a person, by the id under which it stands in the ledger.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// A unit.
    Unit(#[serde(with = "shared")] Arc<str>),
    /// A site.
    Site(#[serde(with = "shared")] Arc<str>),
    /// A customer.
    Customer(#[serde(with = "shared")] Arc<str>),
    /// Someone who works with the ledger.
    Person(#[serde(with = "shared")] Arc<str>),
}

impl Subject {
    /// A unit.
    pub fn unit(id: &str) -> Self {
        Self::Unit(id.into())
    }

    /// A site.
    pub fn site(id: &str) -> Self {
        Self::Site(id.into())
    }

    /// A customer.
    pub fn customer(id: &str) -> Self {
        Self::Customer(id.into())
    }

    /// A person.
    pub fn person(id: &str) -> Self {
        Self::Person(id.into())
    }

    /// What it is: `unit`, `site`, `customer` or `person`.
    pub fn sort(&self) -> &'static str {
        match self {
            Self::Unit(_) => "unit",
            Self::Site(_) => "site",
            Self::Customer(_) => "customer",
            Self::Person(_) => "person",
        }
    }

    /// Its id.
    pub fn id(&self) -> &Arc<str> {
        match self {
            Self::Unit(id) | Self::Site(id) | Self::Customer(id) | Self::Person(id) => id,
        }
    }

    /// From what [`Subject::sort`] and [`Subject::id`] give.
    pub fn from_parts(sort: &str, id: &str) -> Option<Self> {
        match sort {
            "unit" => Some(Self::unit(id)),
            "site" => Some(Self::site(id)),
            "customer" => Some(Self::customer(id)),
            "person" => Some(Self::person(id)),
            _ => None,
        }
    }
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.sort(), self.id())
    }
}

mod shared {
    use std::borrow::Cow;
    use std::sync::Arc;

    use serde::{Deserialize, Deserializer, Serializer};

    pub(super) fn serialize<S: Serializer>(id: &Arc<str>, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(id)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Arc<str>, D::Error> {
        Cow::<'de, str>::deserialize(deserializer).map(Arc::from)
    }
}
