//! Who takes what rings.

use super::{Decision, find, may_handle};
use crate::day::alarms::{AGAIN_MIN, Alarm};
use crate::day::command::Moment;
use crate::day::event::Event;
use crate::day::ids::HelperId;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::State;
use crate::day::time::{MINUTE_MS, SECOND_MS};

/// A device's clock may be so far ahead of the server's.
const AHEAD_MS: i64 = 5 * SECOND_MS;

/// Somebody takes an alarm that really rings, is let near the heat of it, and is the first to.
pub(super) fn take(state: &State, moment: &Moment, key: &str, helper: &HelperId) -> Decision {
    let rings = |alarm: &Alarm<'_>| alarm.due_at.ms_since(moment.now) <= AHEAD_MS;
    let alarm = state
        .alarms()
        .find(|alarm| alarm.key() == key && rings(alarm));
    let alarm = alarm.ok_or_else(|| {
        Refusal::new(
            Code::NotRinging,
            "That alarm does not ring now.",
            "Nothing to do: it was seen to, or its time is not over. Look at the timers.",
        )
    })?;
    find::present_helper(state, helper)?;
    may_handle(state, alarm.station, helper)
        .map_err(|refusal| whom_to_tell(state, &alarm, refusal))?;
    not_taken(state, moment, key)?;
    Ok(vec![Event::AlarmTaken {
        alarm: key.to_owned(),
        helper: helper.clone(),
    }])
}

fn not_taken(state: &State, moment: &Moment, key: &str) -> Result<(), Refusal> {
    let taken = state.alarms_taken.get(key).filter(|taken| {
        let passed = moment.now.ms_since(taken.at);
        passed < i64::from(AGAIN_MIN) * MINUTE_MS
            && find::present_helper(state, &taken.helper).is_ok()
    });
    let Some(taken) = taken else { return Ok(()) };
    let name = state.helper_name(&taken.helper);
    Err(Refusal::new(
        Code::AlarmTaken,
        format!("{name} sees to it already."),
        format!("Nothing to do. It rings again {AGAIN_MIN} minutes after {name} took it, if it is not done."),
    )
    .with("helper", name)
    .with("minutes", AGAIN_MIN))
}

/// Who is kept from heat does not go there, but tells somebody who may.
fn whom_to_tell(state: &State, alarm: &Alarm<'_>, refusal: Refusal) -> Refusal {
    let able = |id: &&HelperId| may_handle(state, alarm.station, id).is_ok();
    let cooking = alarm.pot.and_then(|pot| state.cooking(alarm.station, pot));
    let named = cooking
        .into_iter()
        .flat_map(|cooking| [cooking.minder.as_ref(), cooking.backup.as_ref()])
        .flatten();
    let station = state.stations.get(alarm.station);
    let seated = station.into_iter().flat_map(|station| station.seats.keys());
    let adults = state.helpers.iter().filter(|(_, one)| one.plan.is_adult());
    let others = adults.map(|(id, _)| id);
    let tell = named.chain(seated).chain(others).find(able);
    let name = tell.map_or_else(|| "a grown-up".to_owned(), |id| state.helper_name(id));
    Refusal {
        instead: format!("Tell {name} at once."),
        ..refusal
    }
    .with("tell", name)
}
