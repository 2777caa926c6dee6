//! The four ranks, and the answer to whoever stands too low. Which route asks for which rank stands
//! beside the route, in `server::routes`.

use crate::day::Role;
use crate::server::problem::Problem;
use actix_web::http::StatusCode;
use schemars::JsonSchema;
use serde::Serialize;

/// How much a device may do; each may all that those before it may.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Rank {
    /// Came by itself: it may fetch the pages and ask to be let in.
    Guest,
    /// May look.
    Watcher,
    /// May tap.
    Helper,
    /// May set up, and let in and put out.
    Lead,
}

impl Rank {
    /// Lets through whoever has at least the rank `least`.
    ///
    /// # Errors
    /// The rank is too low; the problem says how to get a higher one.
    pub fn must_be(self, least: Rank) -> Result<(), Problem> {
        if self >= least {
            return Ok(());
        }
        let refused =
            |status, code, detail, instead| Err(Problem::new(status, code, detail, instead));
        match (self, least) {
            (Rank::Guest, _) => refused(
                StatusCode::UNAUTHORIZED,
                "not-let-in",
                "This device has not been let in.",
                "Scan the code on the wall, or open the board's address and type the code.",
            ),
            (_, Rank::Lead) => refused(
                StatusCode::FORBIDDEN,
                "lead-only",
                "Only the lead may do this.",
                "Ask the lead, or make this device the lead's with the lead's key.",
            ),
            _ => refused(
                StatusCode::FORBIDDEN,
                "watch-only",
                "This device only watches.",
                "Join on another device, or type the code on this one.",
            ),
        }
    }

    /// The role a day's rules know; whoever was not let in can at most look.
    pub fn role(self) -> Role {
        match self {
            Rank::Guest | Rank::Watcher => Role::Watcher,
            Rank::Helper => Role::Helper,
            Rank::Lead => Role::Lead,
        }
    }
}

impl From<Role> for Rank {
    fn from(role: Role) -> Rank {
        match role {
            Role::Watcher => Rank::Watcher,
            Role::Helper => Rank::Helper,
            Role::Lead => Rank::Lead,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rank_may_what_those_below_it_may_and_no_more() {
        let all = [Rank::Guest, Rank::Watcher, Rank::Helper, Rank::Lead];
        for (have, one) in all.into_iter().enumerate() {
            for (need, least) in all.into_iter().enumerate() {
                assert_eq!(
                    one.must_be(least).is_ok(),
                    have >= need,
                    "{one:?} {least:?}"
                );
            }
        }
    }
}
