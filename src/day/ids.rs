//! One newtype per kind of id, so that a station can never be passed where a helper is meant.
//!
//! Ids are short readable words minted by the client ("slice", "plums-2"), which lets a day be
//! written by hand and a device name things while it is offline.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The longest id in characters.
pub const ID_LENGTH_MAX: usize = 40;

/// Why a text is no id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{0:?} is no id: use 1 to 40 characters of a-z, 0-9 and '-', beginning with a letter or digit"
)]
pub struct BadId(pub String);

fn is_id(text: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    !text.is_empty()
        && text.len() <= ID_LENGTH_MAX
        && text.starts_with(plain)
        && text.chars().all(|c| plain(c) || c == '-')
}

/// A text that is checked when it comes in, by the `TryFrom<String>` that its type has beside this.
/// The pattern (ECMA-262) says the same to whoever reads the schema.
macro_rules! checked_text {
    ($(#[$meta:meta])* $name:ident, $pattern:literal) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[derive(Serialize, Deserialize, JsonSchema)]
        #[serde(try_from = "String", into = "String")]
        #[schemars(extend("pattern" = $pattern))]
        pub struct $name(String);

        impl $name {
            /// As it is written.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl From<$name> for String {
            fn from(text: $name) -> String {
                text.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}
pub(crate) use checked_text;

macro_rules! id {
    ($(#[$meta:meta])* $name:ident) => {
        checked_text!($(#[$meta])* $name, "^[a-z0-9][a-z0-9-]{0,39}$");

        impl TryFrom<String> for $name {
            type Error = BadId;
            fn try_from(text: String) -> Result<Self, BadId> {
                if is_id(&text) { Ok(Self(text)) } else { Err(BadId(text)) }
            }
        }

        impl TryFrom<&str> for $name {
            type Error = BadId;
            fn try_from(text: &str) -> Result<Self, BadId> {
                Self::try_from(text.to_owned())
            }
        }

        impl std::str::FromStr for $name {
            type Err = BadId;
            fn from_str(text: &str) -> Result<Self, BadId> {
                Self::try_from(text)
            }
        }
    };
}

id!(
    /// One preserving day on this server.
    DayId
);
id!(
    /// A place where one kind of work is done.
    StationId
);
id!(
    /// A person, not a device.
    HelperId
);
id!(
    /// What the fruit becomes, in one package size.
    ProductId
);
id!(
    /// An amount of one produce that came in together.
    LotId
);
id!(
    /// A supply that work draws on: jars, lids, bags, acid.
    SupplyId
);
id!(
    /// Something scarce that stations share: burners, sink, counter.
    ResourceId
);
id!(
    /// A pot or roaster of a vessel station.
    PotId
);
id!(
    /// A canner of a canner station.
    CannerId
);
id!(
    /// Jars in a canner together.
    LoadId
);
id!(
    /// Work beside the flow.
    ChoreId
);
id!(
    /// A call that someone is hurt.
    HurtId
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_short_plain_words() {
        for good in ["slice", "plums-2", "7-quart", &"a".repeat(40)] {
            assert!(StationId::try_from(good).is_ok(), "{good}");
        }
        for bad in ["", "-x", "Slice", "a b", "a/b", "é", &"a".repeat(41)] {
            assert!(StationId::try_from(bad).is_err(), "{bad}");
        }
    }
}
