//! The people in the public view.

use crate::day::decide::verdict;
use crate::day::ids::*;
use crate::day::plan::{Need, Verdict, Work};
use crate::day::state::{Presence, State};
use crate::day::time::Timestamp;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A helper.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(
    missing_docs,
    reason = "the fields are those of the plan and the state"
)]
pub struct HelperView {
    pub name: String,
    pub sign: String,
    pub age: u8,
    pub adult: bool,
    pub limits: BTreeSet<Need>,
    pub likes: BTreeSet<Work>,
    pub presence: Presence,
    pub since: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station: Option<StationId>,
    /// The children this adult stays beside.
    pub beside_of: Vec<HelperId>,
    /// What the house says to each station.
    pub may: BTreeMap<StationId, Verdict>,
}

pub(super) fn view(state: &State) -> BTreeMap<HelperId, HelperView> {
    let rules = state.age_rules();
    let listed = state.helpers.iter().filter(|(_, helper)| !helper.retired);
    listed
        .map(|(id, helper)| {
            let plan = &helper.plan;
            let stations = state.stations.iter().filter(|(_, s)| !s.retired);
            let children = state.children_beside(id).into_iter();
            let view = HelperView {
                name: plan.name.clone(),
                sign: plan.sign.clone(),
                age: plan.age,
                adult: plan.is_adult(),
                limits: plan.limits.clone(),
                likes: plan.likes.clone(),
                presence: helper.presence,
                since: helper.since,
                station: helper.station.clone(),
                beside_of: children.map(|(_, child)| child.clone()).collect(),
                may: stations
                    .map(|(id, station)| (id.clone(), verdict(&rules, plan, &station.plan)))
                    .collect(),
            };
            (id.clone(), view)
        })
        .collect()
}
