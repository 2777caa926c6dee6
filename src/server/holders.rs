//! Which device stands for which helper on a day, so that a helper who goes on at another device
//! is told so at the old one.
//!
//! Kept in memory and only there: after a restart nobody has moved, and every device goes on as it
//! remembers itself. It decides nothing; the rules know helpers, not devices.

use crate::day::ids::{DayId, HelperId};
use dashmap::DashMap;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use tokio::sync::watch;

/// The device of each helper who chose one.
pub type DayHolders = BTreeMap<HelperId, String>;

/// A helper on a day for whom a device stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Stand {
    day: DayId,
    helper: HelperId,
}

/// The holders of all days.
#[derive(Default)]
pub struct Holders {
    days: DashMap<DayId, watch::Sender<DayHolders>>,
}

impl Holders {
    /// From now on `device` stands for `helper`. Gives how it is then.
    pub fn take(&self, day: &DayId, helper: HelperId, device: String) -> DayHolders {
        let holders = self.days.entry(day.clone()).or_default();
        holders.send_if_modified(|holders| holders.insert(helper, device.clone()) != Some(device));
        holders.borrow().clone()
    }

    /// A device is called something else from now on.
    pub fn rename(&self, device: &str, now: &str) {
        if device == now {
            return;
        }
        for holders in &self.days {
            holders.send_if_modified(|holders| {
                let mut own: Vec<_> = holders.values_mut().filter(|own| *own == device).collect();
                own.iter_mut().for_each(|own| now.clone_into(own));
                !own.is_empty()
            });
        }
    }

    /// A device stands for nobody any more.
    pub fn forget(&self, device: &str) {
        for holders in &self.days {
            holders.send_if_modified(|holders| {
                let before = holders.len();
                holders.retain(|_, own| *own != device);
                holders.len() < before
            });
        }
    }

    /// For whom a device stands, on any day.
    pub fn stands_for(&self, device: &str) -> Vec<Stand> {
        let of_day = |(day, holders): (&DayId, &watch::Sender<DayHolders>)| {
            let holders = holders.borrow();
            let own = holders.iter().filter(|(_, own)| *own == device);
            let stand = |helper: &HelperId| Stand {
                day: day.clone(),
                helper: helper.clone(),
            };
            own.map(|(helper, _)| stand(helper)).collect::<Vec<_>>()
        };
        let days = self.days.iter();
        days.flat_map(|day| of_day(day.pair())).collect()
    }

    /// How it is on a day, now and after each change.
    pub fn follow(&self, day: &DayId) -> watch::Receiver<DayHolders> {
        self.days.entry(day.clone()).or_default().subscribe()
    }
}

/// What a socket pushes of it.
pub fn push(holders: &DayHolders) -> String {
    serde_json::json!({"push": "holders", "holders": holders}).to_string()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_helper_is_at_one_device_and_a_device_may_stand_for_several() {
        let holders = Holders::default();
        let (day, wren, bo) = (
            DayId::try_from("plums").unwrap(),
            HelperId::try_from("wren").unwrap(),
            HelperId::try_from("bo").unwrap(),
        );
        let mut news = holders.follow(&day);
        holders.take(&day, wren.clone(), "tablet".to_owned());
        holders.take(&day, bo.clone(), "tablet".to_owned());
        let now = holders.take(&day, wren.clone(), "phone".to_owned());
        assert_eq!(now[&wren], "phone");
        assert_eq!(now[&bo], "tablet");
        assert!(news.has_changed().unwrap());
        news.mark_unchanged();
        holders.take(&day, wren.clone(), "phone".to_owned());
        assert!(!news.has_changed().unwrap(), "nothing is new");
    }

    #[test]
    fn a_device_may_be_called_something_else_and_may_go() {
        let holders = Holders::default();
        let (day, wren) = (
            DayId::try_from("plums").unwrap(),
            HelperId::try_from("wren").unwrap(),
        );
        let news = holders.follow(&day);
        holders.take(&day, wren.clone(), "tablet".to_owned());
        holders.rename("tablet", "slate");
        assert_eq!(news.borrow()[&wren], "slate");
        assert_eq!(holders.stands_for("slate").len(), 1);
        assert!(holders.stands_for("tablet").is_empty());
        holders.forget("slate");
        assert!(news.borrow().is_empty());
    }
}
