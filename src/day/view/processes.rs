//! The tested processes in the public view, and what of them is still to be confirmed.

use crate::day::amount::Amount;
use crate::day::flow::Flow;
use crate::day::ids::*;
use crate::day::plan::{Ending, Nature, Product};
use crate::day::state::{ProductState, State};
use crate::day::time::Timestamp;
use crate::trade::{self, FreezerPack, Jar, Method, Mouth, TestedProcess};
use serde::Serialize;
use std::collections::BTreeMap;

/// What a product's jars get, or why nothing is known.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
#[allow(missing_docs, reason = "the words say it")]
pub enum ProcessView {
    Tested {
        tested: TestedProcess,
        /// Heat of the canner's water at loading, in degrees Fahrenheit.
        water_f: u32,
        /// Inches of water over the lids; only in boiling water.
        #[serde(skip_serializing_if = "Option::is_none")]
        water_over_lids_in: Option<u32>,
    },
    Refused {
        refused: RefusedView,
    },
}

/// Why there is no process.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the words say it")]
pub struct RefusedView {
    pub detail: String,
    pub instead: String,
}

/// Room that ice needs in a freezer package, in 64ths of an inch, where it is published.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the words say it")]
pub struct FreezingView {
    /// Food in its own juice, syrup or purée, by the mouth and the size of the package.
    pub liquid: BTreeMap<Mouth, BTreeMap<Jar, u32>>,
    /// Dry packs of any size.
    pub dry: u32,
    pub source: &'static str,
}

/// Jars waiting at the canner that are not confirmed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the words say it")]
pub struct UnconfirmedView {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub acid: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sterile: Option<Amount>,
}

pub(super) fn process(state: &State, plan: &Product) -> Option<ProcessView> {
    let found = look_up(state, plan)?;
    Some(match found {
        Ok(tested) => ProcessView::Tested {
            water_f: trade::loading_water_fahrenheit(tested.pack).value,
            water_over_lids_in: (tested.method == Method::BoilingWater)
                .then(|| trade::depth_over_lids_inches(tested.minutes).value),
            tested,
        },
        Err(reason) => ProcessView::Refused {
            refused: RefusedView {
                detail: reason.to_string(),
                instead: reason.instead(),
            },
        },
    })
}

fn look_up(state: &State, plan: &Product) -> Option<Result<TestedProcess, trade::NoTestedProcess>> {
    let altitude_ft = state.altitude_ft?;
    let Ending::Canned { food, pack, jar } = &plan.ends_in else {
        return None;
    };
    let step = plan.route.get(state.canner_step(plan)?)?;
    let Nature::Canner { method, .. } = state.stations.get(&step.station)?.plan.nature else {
        return None;
    };
    Some(trade::tested(food, *pack, *jar, method, altitude_ft))
}

/// The published headspace of freezer packages, for a product that is frozen.
pub(super) fn freezing(plan: &Product) -> Option<FreezingView> {
    if !matches!(plan.ends_in, Ending::Frozen { .. }) {
        return None;
    }
    let room = |pack, mouth, jar| trade::freezer_headspace(pack, mouth, jar);
    let sizes = |mouth| {
        let published = [Jar::Pint, Jar::Quart].into_iter().filter_map(|jar| {
            let room = room(FreezerPack::Liquid, mouth, jar)?;
            Some((jar, room.value))
        });
        (mouth, published.collect())
    };
    let dry = room(FreezerPack::Dry, Mouth::Wide, Jar::Pint)?;
    Some(FreezingView {
        liquid: [Mouth::Wide, Mouth::Narrow]
            .into_iter()
            .map(sizes)
            .collect(),
        dry: dry.value,
        source: dry.source,
    })
}

pub(super) fn unconfirmed(
    state: &State,
    id: &ProductId,
    product: &ProductState,
) -> Option<UnconfirmedView> {
    let tested = look_up(state, &product.plan)?.ok()?;
    let step = product.plan.route.get(state.canner_step(&product.plan)?)?;
    let flows = || state.lots_at(&step.station, id).into_iter().flatten();
    let since = |until: Option<Timestamp>| {
        let later = flows().map(|(_, flow)| filled_after(flow, until)).sum();
        (later > Amount::ZERO).then_some(later)
    };
    let view = UnconfirmedView {
        acid: tested.acid.as_ref().and_then(|_| since(product.acid_until)),
        sterile: tested
            .sterilise_jars
            .then(|| since(product.sterile_until))
            .flatten(),
    };
    (view.acid.is_some() || view.sterile.is_some()).then_some(view)
}

fn filled_after(flow: &Flow, until: Option<Timestamp>) -> Amount {
    let later = flow
        .layers
        .iter()
        .filter(|layer| Some(layer.since) >= until);
    later.map(|layer| layer.amount).sum()
}
