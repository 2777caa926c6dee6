//! Small networks whose course can be worked out on paper.

use crate::build::*;
use putby::sim::{
    Busy, Helper, Key, Law, Network, Outcome, Rests, Roaming, Simulator, Source, Start, Supply,
    Then, Uncertain, Until, Works,
};

fn fixed(minutes: f64) -> Law {
    Law::Deterministic(minutes)
}

fn one() -> Works {
    Works::Servers(Some(1))
}

fn run(network: &Network, start: &Start) -> Outcome {
    let mut simulator = Simulator::new(network).unwrap();
    simulator.keep_log(true);
    simulator.run(start, Key::default(), Until::done()).clone()
}

fn seated(seats: &[usize], amounts: &[f64]) -> Start {
    Start {
        seats: seats.iter().map(|seat| Some(*seat)).collect(),
        ..waiting(amounts)
    }
}

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} is not {expected}");
}

/// Four jobs on three machines; the recursion of departures of a line with blocking after service,
/// max of what came before on the machine, the job and the place behind (Dallery and Gershwin, 1992).
#[test]
fn a_line_with_and_without_room() {
    let times = [
        [3.0, 3.0, 1.0, 6.0],
        [3.0, 3.0, 1.0, 6.0],
        [5.0, 4.0, 5.0, 2.0],
    ];
    let rooms = [
        ([None, None, None], 22.0, vec![11.0, 15.0, 20.0, 22.0]),
        ([None, Some(0), Some(0)], 25.0, vec![11.0, 15.0, 20.0, 25.0]),
        ([None, Some(1), Some(0)], 23.0, vec![11.0, 15.0, 20.0, 23.0]),
    ];
    for (rooms, finish, left) in rooms {
        let stations = rooms.map(|room| {
            let mut station = station(one());
            station.room = room;
            station
        });
        let laws = times.map(|times| Law::Sequence(times.to_vec()));
        let network = row(stations.to_vec(), laws.to_vec());
        let outcome = run(&network, &waiting(&[4.0]));
        close(outcome.finish_min, finish);
        let at_end = outcome.log.iter().filter(|visit| visit.stop == 2);
        assert_eq!(at_end.map(|visit| visit.left_min).collect::<Vec<_>>(), left);
        close(outcome.chain_by_station.iter().sum(), finish);
    }
}

/// Sixteen jars, one every three minutes, a canner of seven that runs 25 minutes.
#[test]
fn loads_of_jars_that_come_one_by_one() {
    let at: Vec<f64> = (1..=16).map(|number| 3.0 * f64::from(number)).collect();
    let finish = |min_share: f64, first: Vec<(usize, f64)>| {
        let mut network = row(vec![canner(1, min_share)], vec![fixed(25.0)]);
        if let Works::Batches(batches) = &mut network.stations[0].works {
            batches.first = first;
        }
        network.sources = vec![Source::Times {
            stop: 0,
            at: at.clone(),
        }];
        run(&network, &Start::default()).finish_min
    };
    close(finish(1.0, vec![]), 96.0);
    close(finish(0.0, vec![]), 103.0);
    close(finish(1.0, vec![(0, 2.0)]), 81.0);
}

/// Wash 2, slice 5 by two, fill 2, seven to a load of 25, cool 30; sixteen jars.
#[test]
fn a_small_day() {
    let stations = vec![
        station(one()),
        station(Works::Servers(Some(2))),
        station(one()),
        canner(1, 1.0),
        station(Works::Servers(None)),
    ];
    let times = [2.0, 5.0, 2.0, 25.0, 30.0].map(fixed);
    let mut network = row(stations, times.to_vec());
    let begun = |outcome: &Outcome| -> Vec<f64> {
        outcome
            .batches
            .iter()
            .map(|batch| batch.began_min)
            .collect()
    };
    let outcome = run(&network, &waiting(&[16.0]));
    close(outcome.finish_min, 129.0);
    assert_eq!(begun(&outcome), [24.0, 49.0, 74.0]);
    assert_eq!(outcome.set_by, Some(3));
    if let Works::Batches(batches) = &mut network.stations[3].works {
        batches.first = vec![(3, 2.0)];
    }
    let outcome = run(&network, &waiting(&[16.0]));
    close(outcome.finish_min, 116.0);
    assert_eq!(begun(&outcome), [11.0, 36.0, 61.0]);
}

/// 9 units in carriers of 4 take 4, 4 and 1, the last a quarter of the time; with a yield of one
/// half 4.5 go on and take two carriers of 3, the last of 1.5 and half the time.
#[test]
fn the_last_carrier_holds_what_is_left() {
    let mut network = row(
        vec![station(one()), station(one())],
        vec![fixed(8.0), fixed(6.0)],
    );
    network.stops[0].carrier = 4.0;
    network.stops[0].yields = Uncertain::Known(0.5);
    network.stops[1].carrier = 3.0;
    let outcome = run(&network, &waiting(&[9.0]));
    // 8, 16, 18; then 3 of the 4 units at 16 until 22, then 1.5 until 25.
    close(outcome.finish_min, 25.0);
    close(outcome.class_made[0], 4.5);
    let amounts: Vec<f64> = outcome.log.iter().map(|visit| visit.amount).collect();
    assert_eq!(amounts, [4.0, 4.0, 3.0, 1.0, 1.5]);
}

/// Jars that come late start a load when the oldest has waited ten minutes.
#[test]
fn patience_starts_a_short_load() {
    let mut network = row(vec![canner(1, 1.0)], vec![fixed(25.0)]);
    if let Works::Batches(batches) = &mut network.stations[0].works {
        batches.patience_min = Some(10.0);
    }
    network.sources = vec![Source::Times {
        stop: 0,
        at: vec![0.0, 4.0, 60.0],
    }];
    let outcome = run(&network, &Start::default());
    let begun: Vec<_> = outcome
        .batches
        .iter()
        .map(|run| (run.began_min, run.amount))
        .collect();
    assert_eq!(begun, [(10.0, 2.0), (60.0, 1.0)]);
    close(outcome.finish_min, 85.0);
    close(outcome.chain_by_station.iter().sum(), 85.0);
}

/// Unlike groups never share a load; like ones do, up to what fits.
#[test]
fn loads_hold_one_group() {
    let stops = |group: usize| {
        let mut second = stop(0, fixed(25.0), Then::Leave);
        second.group = group;
        vec![stop(0, fixed(25.0), Then::Leave), second]
    };
    let apart = network(vec![canner(1, 1.0)], stops(1));
    let outcome = run(&apart, &waiting(&[4.0, 2.0]));
    assert_eq!(outcome.batches.len(), 2);
    let together = network(vec![canner(1, 1.0)], stops(0));
    let outcome = run(&together, &waiting(&[4.0, 2.0]));
    assert_eq!(outcome.batches.len(), 1);
    close(outcome.batches[0].amount, 6.0);
    close(outcome.finish_min, 25.0);
    close(outcome.class_made[0], 6.0);
}

/// One burner for two pots: they cook one after the other. Two burners: at once.
#[test]
fn a_shared_burner() {
    let pot = || {
        let mut pot = canner(1, 1.0);
        pot.takes = vec![(0, 1)];
        pot
    };
    let stops = vec![
        stop(0, fixed(20.0), Then::Leave),
        stop(1, fixed(30.0), Then::Leave),
    ];
    let mut network = network(vec![pot(), pot()], stops);
    network.pools = vec![1];
    close(run(&network, &waiting(&[7.0, 7.0])).finish_min, 50.0);
    network.pools = vec![2];
    close(run(&network, &waiting(&[7.0, 7.0])).finish_min, 30.0);
}

/// Filling waits for clean jars: a jar each 5 minutes, filled in 2.
#[test]
fn filling_waits_for_clean_jars() {
    let mut fill = stop(0, fixed(2.0), Then::Leave);
    fill.draws = vec![(0, 1.0)];
    let wash = stop(1, fixed(5.0), Then::Feed(0));
    let mut network = network(vec![station(one()), station(one())], vec![fill, wash]);
    network.supplies = vec![Supply {
        stock: 1.0,
        is_fed: true,
    }];
    let outcome = run(&network, &waiting(&[3.0, 2.0]));
    // The jar in stock at 0, the washed ones at 5 and 10.
    close(outcome.finish_min, 12.0);
    close(outcome.chain_by_station[1], 10.0);
    // Nobody washes any more: running out is nobody's wait.
    let outcome = run(&network, &waiting(&[5.0, 2.0]));
    close(outcome.finish_min, 16.0);
}

/// Shares of 3 to 1 send the fourth carrier the other way.
#[test]
fn work_is_split_in_shares() {
    let ways = vec![(3.0, 1), (1.0, 2)];
    let stops = vec![
        stop(0, fixed(1.0), Then::Share(ways)),
        stop(1, fixed(1.0), Then::Leave),
        stop(2, fixed(1.0), Then::Leave),
    ];
    let stations = (0..3).map(|_| station(one())).collect();
    let outcome = run(&network(stations, stops), &waiting(&[8.0]));
    close(outcome.stops[1].left, 6.0);
    close(outcome.stops[2].left, 2.0);
}

/// A rest falls due at 5, in the middle of a carrier: it begins at 6 and ends at 16.
#[test]
fn a_rest_begins_after_the_carrier_in_hand() {
    let mut network = row(vec![station(Works::Hands)], vec![fixed(3.0)]);
    let rests = Rests {
        first_min: 5.0,
        every_min: 100.0,
        lasts_min: 10.0,
    };
    network.helpers = vec![Helper {
        rests: Some(rests),
        ..helper(&[1.0])
    }];
    let outcome = run(&network, &seated(&[0], &[4.0]));
    close(outcome.finish_min, 22.0);
    close(outcome.helpers[0].away, 10.0);
    close(outcome.helpers[0].working, 12.0);
    close(outcome.stations[0].unstaffed, 10.0);
    close(outcome.chain_by_helper[0], 22.0);
}

/// Away from 2 to 9 with nothing in hand: work that comes at 4 waits until 9.
#[test]
fn who_is_away_takes_nothing() {
    let mut network = row(vec![station(Works::Hands)], vec![fixed(3.0)]);
    network.helpers = vec![Helper {
        away: vec![(2.0, 9.0)],
        ..helper(&[1.0])
    }];
    network.sources = vec![Source::Times {
        stop: 0,
        at: vec![4.0],
    }];
    let outcome = run(&network, &seated(&[0], &[]));
    close(outcome.finish_min, 12.0);
    close(outcome.helpers[0].starved, 2.0);
}

/// The helper finishes a carrier at the old seat by minute 4, then changes for 3 minutes.
#[test]
fn a_move_waits_for_the_carrier_in_hand() {
    let stops = vec![
        stop(0, fixed(5.0), Then::Leave),
        stop(1, fixed(5.0), Then::Leave),
    ];
    let stations = vec![station(Works::Hands), station(Works::Hands)];
    let mut network = network(stations, stops);
    network.helpers = vec![helper(&[1.0, 1.0])];
    network.change_min = 3.0;
    let mut start = seated(&[1], &[0.0, 1.0]);
    start.busy = vec![Busy {
        stop: 0,
        helper: Some(0),
        amount: 1.0,
        age_min: 1.0,
        left_min: None,
    }];
    let outcome = run(&network, &start);
    close(outcome.finish_min, 4.0 + 3.0 + 5.0);
    close(outcome.helpers[0].away, 3.0);
    start.ready_min = vec![9.0];
    close(run(&network, &start).finish_min, 14.0);
}

/// Two minutes are left of a carrier whose helper is away until 7.
#[test]
fn a_carrier_lies_still_while_its_helper_is_away() {
    let mut network = row(vec![station(Works::Hands)], vec![fixed(5.0)]);
    network.helpers = vec![Helper {
        away: vec![(0.0, 7.0)],
        ..helper(&[1.0])
    }];
    let mut start = seated(&[0], &[1.0]);
    start.busy = vec![Busy {
        stop: 0,
        helper: Some(0),
        amount: 1.0,
        age_min: 3.0,
        left_min: None,
    }];
    let outcome = run(&network, &start);
    close(outcome.finish_min, 7.0 + 2.0 + 5.0);
    close(outcome.helpers[0].away, 7.0);
    close(outcome.stations[0].working, 7.0);
}

/// Who minds a canner does no work there and goes nowhere.
#[test]
fn who_minds_a_canner_stays_there() {
    let stops = vec![
        stop(0, fixed(25.0), Then::Leave),
        stop(1, fixed(2.0), Then::Leave),
    ];
    let mut network = network(vec![canner(1, 1.0), station(Works::Hands)], stops);
    network.helpers = vec![helper(&[1.0, 1.0])];
    network.roaming = Some(Roaming { after_min: 3.0 });
    let outcome = run(&network, &seated(&[0], &[7.0, 1.0]));
    close(outcome.helpers[0].working, 0.0);
    close(outcome.services_left, 1.0);
}

/// Nobody sits at the second station; who ran out of work at 2 goes there after ten minutes.
#[test]
fn people_roam_to_where_nobody_sits() {
    let stops = vec![
        stop(0, fixed(2.0), Then::Leave),
        stop(1, fixed(2.0), Then::Leave),
    ];
    let stations = vec![station(Works::Hands), station(Works::Hands)];
    let mut network = network(stations, stops);
    network.helpers = vec![helper(&[1.0, 1.0])];
    network.change_min = 1.0;
    network.roaming = Some(Roaming { after_min: 10.0 });
    let outcome = run(&network, &seated(&[0], &[1.0, 2.0]));
    close(outcome.finish_min, 2.0 + 10.0 + 1.0 + 4.0);
    close(outcome.chain_by_station.iter().sum(), 17.0);
    network.roaming = None;
    let outcome = run(&network, &seated(&[0], &[1.0, 2.0]));
    close(outcome.finish_min, Until::done().minutes);
    close(outcome.services_left, 2.0);
}

/// Fixed turns: the second stop has no work until 6, and the helper waits for it.
#[test]
fn turns_are_waited_for() {
    let stops = vec![
        stop(0, fixed(2.0), Then::Leave),
        stop(1, fixed(2.0), Then::Leave),
    ];
    let stations = vec![station(Works::Hands), station(Works::Hands)];
    let mut network = network(stations, stops);
    network.helpers = vec![Helper {
        serves: vec![0, 1],
        ..helper(&[1.0, 1.0])
    }];
    network.sources = vec![Source::Times {
        stop: 1,
        at: vec![6.0],
    }];
    let start = waiting(&[2.0]);
    close(run(&network, &start).finish_min, 8.0);
    network.helpers[0].turns = vec![0, 1, 0];
    close(run(&network, &start).finish_min, 10.0);
}

/// What is preferred goes first, against age; without a preference what waited longest.
#[test]
fn preferences_go_before_age() {
    let stops = vec![
        stop(0, fixed(2.0), Then::Leave),
        stop(0, fixed(2.0), Then::Leave),
    ];
    let mut network = network(vec![station(Works::Hands)], stops);
    network.helpers = vec![helper(&[1.0, 1.0])];
    let mut start = seated(&[0], &[1.0, 1.0]);
    start.waiting[0][0].1 = 30.0;
    let first = |network: &Network| run(network, &start).log[0].stop;
    assert_eq!(first(&network), 0);
    network.helpers[0].prefers = vec![1];
    assert_eq!(first(&network), 1);
}

/// Rework of a batch of two whose last carrier comes round alone: it is taken when all is still.
#[test]
fn less_than_a_carrier_is_taken_when_all_is_still() {
    let mut again = stop(0, fixed(5.0), Then::Go(1));
    again.carrier = 2.0;
    let ways = vec![(1.0, None)];
    let mut check = stop(1, fixed(1.0), Then::Chance(ways));
    check.then = Then::Chance(vec![(0.0, Some(0)), (1.0, None)]);
    let network = network(vec![station(one()), station(one())], vec![again, check]);
    let outcome = run(&network, &waiting(&[3.0, 0.0]));
    // Two until 5; then the half carrier takes half the time.
    close(outcome.services_left, 0.0);
    close(outcome.class_made[0], 3.0);
}

/// A fault says what is wrong.
#[test]
fn faults_are_sentences() {
    let mut broken = row(vec![station(one())], vec![fixed(1.0)]);
    broken.stops[0].then = Then::Chance(vec![(0.4, None), (0.4, None)]);
    let fault = Simulator::new(&broken).unwrap_err().to_string();
    assert!(fault.contains("add up to 0.8"), "{fault}");
    broken.stops[0].then = Then::Go(7);
    assert!(Simulator::new(&broken).is_err());
    broken.stops[0].then = Then::Go(0);
    broken.stops[0].time = fixed(0.0);
    let fault = Simulator::new(&broken).unwrap_err().to_string();
    assert!(fault.contains("must take time"), "{fault}");
}
