//! The whole report at moments of the written day and of days the family played.

use crate::support::{Cut, begin, cut, family_day, true_finish};
use putby::cli::replay::replay;
use putby::day::event::Event;
use putby::day::ids::StationId;
use putby::day::plan::Nature;
use putby::day::state::Presence;
use putby::day::time::Timestamp;
use putby::day::{Record, State};
use putby::outlook::{Change, Doing, Memory, Outlook, Settings, Stay, outlook};

const WRITTEN: &str = include_str!("../../fixtures/days/orchard-day.ndjson");

fn few() -> Settings {
    Settings {
        runs: 100,
        compare_runs: 40,
        ..Settings::default()
    }
}

fn told(cut: &Cut) -> Outlook {
    outlook(&cut.state, &cut.pace, cut.at, &Memory::default(), &few()).0
}

fn at_minute(records: &[Record], minute: i64) -> Cut {
    cut(records, Timestamp(begin(records).0 + minute * 60_000))
}

#[test]
fn the_written_day_has_an_outlook_at_every_hour_until_it_is_done() {
    let records = replay(WRITTEN).records;
    let last = records.last().unwrap().at;
    let hours = last.ms_since(begin(&records)) / 3_600_000;
    assert!(hours >= 5, "the written day is short: {hours}");
    for hour in 1..hours {
        let cut = at_minute(&records, hour * 60);
        let told = told(&cut);
        if told.stay == Some(Stay::Finished {}) {
            continue;
        }
        let finish = told.finish.unwrap();
        assert!(
            cut.at <= finish.p10 && finish.p10 <= finish.p90,
            "hour {hour}"
        );
        assert!(told.sets_finish.is_some(), "hour {hour}");
        assert!(!told.products.is_empty(), "hour {hour}");
        if let Some(now) = &told.holds_up_now {
            let stands =
                |id: &StationId| matches!(cut.state.stations[id].plan.nature, Nature::Hold { .. });
            assert!(!stands(&now.station), "hour {hour}: {now:?}");
            assert!(
                !now.starves.as_ref().is_some_and(stands),
                "hour {hour}: {now:?}"
            );
        }
        let pause = |change: &Change| *change == Change::PauseHalfHour {};
        let pause = told
            .what_if
            .iter()
            .find(|what| pause(&what.change))
            .unwrap();
        assert!(
            (-5.0..=60.0).contains(&pause.finish_min),
            "hour {hour}: {pause:?}"
        );
    }
}

#[test]
fn a_finished_day_says_so() {
    let played = family_day(1);
    let after = Timestamp(played.records.last().unwrap().at.0 + 60_000);
    let cut = cut(&played.records, after);
    let told = told(&cut);
    assert_eq!(told.finish, None);
    assert_eq!(told.stay, Some(Stay::Finished {}));
    assert_eq!(told.runs, 0);
    assert!(told.products.is_empty() && told.what_if.is_empty());
    let works = |id: &StationId| matches!(cut.state.stations[id].plan.nature, Nature::Hand {});
    for (id, station) in told.stations.iter().filter(|(id, _)| works(id)) {
        assert_eq!(station.doing, Doing::Finished, "{id}");
    }
}

/// Everybody stands up in the middle of the day.
fn nobody_sits(state: &mut State) {
    for station in state.stations.values_mut() {
        station.seats.clear();
    }
    for helper in state.helpers.values_mut() {
        helper.station = None;
    }
}

#[test]
fn with_nobody_seated_people_are_expected_to_find_their_way() {
    let played = family_day(2);
    let mut cut = at_minute(&played.records, 200);
    let seated = told(&cut).finish.unwrap();
    nobody_sits(&mut cut.state);
    let told = told(&cut);
    let finish = told.finish.unwrap();
    let day = 24 * 3_600_000;
    assert!(finish.p90.0 - cut.at.0 < day, "{finish:?}");
    // Nobody sits, so it takes no less; three hours more would be no honest answer either.
    assert!(finish.p50.0 > seated.p10.0 && finish.p50.0 < seated.p90.0 + 3 * 3_600_000);
}

#[test]
fn with_nobody_in_the_kitchen_no_finish_is_made_up() {
    let played = family_day(2);
    let mut cut = at_minute(&played.records, 200);
    nobody_sits(&mut cut.state);
    for helper in cut.state.helpers.values_mut() {
        helper.presence = Presence::Gone;
    }
    let told = told(&cut);
    assert_eq!(told.finish, None);
    assert_ne!(told.stay, Some(Stay::Finished {}));
    assert!(told.runs > 0 && told.helpers.is_empty());
    assert!(told.what_if.is_empty());
}

#[test]
fn depth_is_what_waits_over_the_rates_of_those_who_sit_there() {
    let played = family_day(3);
    let mut seen = 0;
    for minute in (30..300).step_by(30) {
        let cut = at_minute(&played.records, minute);
        let (model, told) = (cut.model(), told(&cut));
        for (number, id) in model.stations.iter().enumerate() {
            let station = &cut.state.stations[id];
            if !matches!(station.plan.nature, Nature::Hand {}) || station.seats.is_empty() {
                continue;
            }
            // By the definition, from the state and the pace alone.
            let mut minutes = 0.0;
            for (stop, place) in model.stops.iter().enumerate() {
                if model.network.stops[stop].station != number {
                    continue;
                }
                let rate: f64 = station
                    .seats
                    .keys()
                    .map(|who| cut.pace.rate(&cut.state, who, id, &place.product).mean())
                    .sum();
                let held = model.start.busy.iter().filter(|busy| busy.stop == stop);
                let held: f64 = held.map(|busy| busy.amount).sum();
                let waits = cut.state.waiting_at(id, &place.product).0 as f64 / 1000.0 - held;
                let waits = waits - model.left_out[stop];
                minutes += waits / model.network.stops[stop].carrier / rate;
            }
            let told = told.stations[id].depth_min;
            assert!(
                (told - minutes).abs() <= 0.06,
                "minute {minute}, {id}: {told} {minutes}"
            );
            seen += usize::from(minutes > 1.0);
        }
    }
    assert!(seen > 5, "{seen}");
}

/// Loads of the forecast are those that were built, in number.
#[test]
fn the_loads_to_come_are_about_those_that_came() {
    let canners: StationId = "canners".try_into().unwrap();
    for seed in [1, 4] {
        let played = family_day(seed);
        let half = (true_finish(&played.records).0 - begin(&played.records).0) / 2 / 60_000;
        let cut = at_minute(&played.records, half);
        let built = |record: &&Record| {
            record.at > cut.at && matches!(record.event, Event::LoadBuilt { .. })
        };
        let came = played.records.iter().filter(built).count() as i64;
        let told = told(&cut);
        let canner = &told.canners[&canners];
        assert!(
            (i64::from(canner.loads_p50) - came).abs() <= 2,
            "{canner:?}: {came}"
        );
        assert_eq!(canner.next.len().min(1), 1);
        let starts: Vec<_> = canner.next.iter().map(|band| band.p50).collect();
        assert!(starts.is_sorted(), "{starts:?}");
    }
}

#[test]
fn earlier_finishes_are_kept_every_five_minutes() {
    let played = family_day(1);
    let mut memory = Memory::default();
    let settings = Settings {
        runs: 10,
        compare_runs: 2,
        ..Settings::default()
    };
    for tenth in 0..=20 {
        let at = Timestamp(begin(&played.records).0 + 100 * 60_000 + tenth * 60_000);
        let cut = cut(&played.records, at);
        let told;
        (told, memory) = outlook(&cut.state, &cut.pace, at, &memory, &settings);
        assert!(told.earlier.iter().all(|earlier| earlier.at < at));
    }
    assert_eq!(memory.earlier.len(), 5);
}
