//! What becomes of what was put by: taking, judging, moving, recalling, counting; and that every
//! package ever made is accounted for, whatever is ordered.

use crate::kitchen::{Kitchen, seals};
use proptest::prelude::*;
use proptest::sample::select;
use putby::day::amount::Amount;
use putby::day::ids::DayId;
use putby::day::time::{HOUR_MS, Timestamp};
use putby::day::{Moment, Role};
use putby::shelf::{self, Accounts, Code, Command, LotRef, Record, State};
use putby::trace::{Place, trace};
use serde_json::{Value, json};
use uuid::Uuid;

const DAY_MS: i64 = 24 * HOUR_MS;

/// A shelf with its history.
pub struct Shelf {
    pub state: State,
    pub now: Timestamp,
    records: Vec<Record>,
    days: Vec<(DayId, Vec<putby::day::Record>)>,
    given: u128,
}

impl Shelf {
    /// What these days made, as of the end of the last.
    pub fn of(days: &[(&str, &Kitchen)]) -> Shelf {
        let mut shelf = Shelf {
            state: State::default(),
            now: Timestamp(0),
            records: Vec::new(),
            days: Vec::new(),
            given: 0,
        };
        for (id, kitchen) in days {
            shelf.brings(id, kitchen);
        }
        shelf
    }

    pub fn brings(&mut self, id: &str, kitchen: &Kitchen) {
        let id = DayId::try_from(id).unwrap();
        self.state.bring(id.clone(), trace(&kitchen.records));
        self.days.retain(|(day, _)| *day != id);
        self.days.push((id, kitchen.records.clone()));
        self.now = self.now.max(kitchen.now);
    }

    pub fn later(&mut self, days: i64) -> &mut Shelf {
        self.now = Timestamp(self.now.0 + days * DAY_MS);
        self
    }

    pub fn gives(&mut self, role: Role, order: &Value) -> Result<Uuid, shelf::Refusal> {
        let command: Command = serde_json::from_value(order.clone())
            .unwrap_or_else(|fault| panic!("{order} is no command: {fault}"));
        self.given += 1;
        let moment = Moment {
            now: self.now,
            command: Uuid::from_u128(self.given),
            role,
        };
        let before = self.state.clone();
        match shelf::execute(&mut self.state, &command, &moment) {
            Ok(events) => {
                for event in events {
                    self.records.push(Record {
                        seq: self.records.len() as u64 + 1,
                        at: moment.now,
                        command: moment.command,
                        role,
                        event,
                    });
                }
                assert_eq!(self.state.check(), Ok(()), "{order}");
                Ok(moment.command)
            }
            Err(refusal) => {
                assert_eq!(self.state, before, "a refusal changes nothing: {order}");
                assert!(refusal.detail.len() > 8 && refusal.instead.len() > 8);
                Err(refusal)
            }
        }
    }

    #[track_caller]
    pub fn does(&mut self, order: Value) -> Uuid {
        match self.gives(Role::Lead, &order) {
            Ok(id) => id,
            Err(refusal) => panic!("{order} was refused: {refusal:?}"),
        }
    }

    #[track_caller]
    fn refuses(&mut self, code: Code, order: Value) {
        self.refuses_role(Role::Lead, code, order);
    }

    #[track_caller]
    fn refuses_role(&mut self, role: Role, code: Code, order: Value) {
        let refusal = self.gives(role, &order).unwrap_err();
        assert_eq!(refusal.code, code, "{order}: {refusal:?}");
    }

    fn view(&self) -> Value {
        serde_json::to_value(shelf::view(&self.state, self.now)).unwrap()
    }

    /// The shelf as its events and the days' alone make it, each written and read once.
    fn replayed(&self) -> State {
        let mut state = State::default();
        for (day, records) in &self.days {
            state.bring(day.clone(), trace(records));
        }
        for record in &self.records {
            let written = serde_json::to_string(&record.event).unwrap();
            let event = serde_json::from_str(&written).unwrap();
            assert_eq!(record.event, event);
            shelf::apply(&mut state, record.at, record.command, &event);
        }
        state
    }
}

fn lot(code: &str) -> Value {
    json!({"day": "a", "code": code})
}

fn take(code: &str, place: &str, packages: i64) -> Value {
    json!({"order": "take", "lot": lot(code), "place": place, "packages": packages * 1000})
}

fn judge(code: &str, verdict: &str) -> Value {
    json!({"order": "judge", "lot": lot(code), "verdict": verdict})
}

/// Seven quarts of pears: four sealed, one each to the refrigerator and the freezer, one broken.
fn pears() -> Kitchen {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 7).wait(12 * 60);
    let found = [
        ("sealed", 4),
        ("refrigerated", 1),
        ("frozen", 1),
        ("broken", 1),
    ];
    day.does(&seals("l1", "pear-quarts", &found));
    day
}

const PEARS: &str = "260912-F1";

#[test]
fn what_is_taken_is_gone_and_the_rest_is_told_with_how_long_it_lasts() {
    let kitchen = pears();
    let mut shelf = Shelf::of(&[("a", &kitchen)]);
    shelf.later(28).does(take(PEARS, "pantry", 1));
    shelf.later(28).does(take(PEARS, "pantry", 1));
    shelf.does(judge(PEARS, "just-right"));
    let view = shelf.view();
    let told = &view["products"][0];
    assert_eq!(
        json!([
            told["name"],
            told["left"],
            told["eaten"],
            told["failed"],
            told["places"]
        ]),
        json!(["pear quarts", 4000, 2000, 1000,
            {"pantry": 2000, "refrigerator": 1000, "freezer": 1000}])
    );
    // Two in the 56 days since the seal check: four last as long again twice.
    assert_eq!(
        told["rate"],
        json!({"taken": 2000, "days": 56, "lasts_days": 112})
    );
    assert_eq!(told["judged"], json!({"just-right": 1}));
    let lots: Vec<Value> = told["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|lot| json!([lot["place"], lot["left"], lot["best_by"]]))
        .collect();
    assert_eq!(
        json!(lots),
        json!([
            ["pantry", 2000, "2027-09-12"],
            ["refrigerator", 1000, null],
            ["freezer", 1000, "2027-05-12"]
        ])
    );
    assert_eq!(shelf.replayed(), shelf.state);
}

#[test]
fn the_rate_is_that_of_the_last_twelve_weeks() {
    let kitchen = pears();
    let mut shelf = Shelf::of(&[("a", &kitchen)]);
    shelf.later(1).does(take(PEARS, "pantry", 2));
    assert_eq!(
        shelf.view()["products"][0]["rate"]["days"],
        7,
        "never told from less than a week"
    );
    shelf.later(84);
    assert_eq!(shelf.view()["products"][0]["rate"], Value::Null);
    shelf.does(take(PEARS, "pantry", 1));
    let rate = shelf.view()["products"][0]["rate"].clone();
    assert_eq!(rate, json!({"taken": 1000, "days": 84, "lasts_days": 252}));
}

#[test]
fn bad_orders_get_an_answer_and_change_nothing() {
    let kitchen = pears();
    let mut shelf = Shelf::of(&[("a", &kitchen)]);
    shelf.refuses(Code::NotOnTheShelf, take(PEARS, "pantry", 5));
    shelf.refuses(Code::BadNumber, take(PEARS, "pantry", -1));
    shelf.refuses(Code::BadNumber, take(PEARS, "pantry", 0));
    let half = json!({"order": "take", "lot": lot(PEARS), "place": "pantry", "packages": 500});
    shelf.refuses(Code::BadNumber, half);
    shelf.refuses(Code::UnknownPackages, take("260912-K1", "pantry", 1));
    let elsewhere = json!({"day": "b", "code": PEARS});
    let order = json!({"order": "take", "lot": elsewhere, "place": "pantry"});
    shelf.refuses(Code::UnknownPackages, order);
    shelf.refuses(Code::NothingTaken, judge(PEARS, "too-runny"));
    for from in ["refrigerator", "freezer", "pantry"] {
        let order = json!({"order": "move", "lot": lot(PEARS), "from": from, "to": "pantry"});
        shelf.refuses(Code::NotForThePantry, order);
    }
    let stays = json!({"order": "move", "lot": lot(PEARS), "from": "freezer", "to": "freezer"});
    shelf.refuses(Code::BadNumber, stays);
    for packages in [-1000, 5000, 2_000_000_000] {
        let order = json!({"order": "correct", "lot": lot(PEARS), "place": "pantry",
            "packages": packages});
        shelf.refuses(Code::BadNumber, order);
    }
    let recall = |reason: &str| json!({"order": "recall", "batch": {"day": "a", "batch": "260912-F"}, "reason": reason});
    shelf.refuses(Code::BadNumber, recall("  "));
    shelf.refuses(Code::BadNumber, recall(&"x".repeat(401)));
    let unknown = json!({"order": "recall", "batch": {"day": "a", "batch": "260912-Y"},
        "reason": "dented"});
    shelf.refuses(Code::UnknownPackages, unknown);
    let end = json!({"order": "end-recall", "batch": {"day": "a", "batch": "260912-F"}});
    shelf.refuses(Code::RecallIsSo, end);
    shelf.refuses(
        Code::NothingToTakeBack,
        json!({"order": "undo", "command": Uuid::from_u128(99)}),
    );
    for order in [
        recall("dented"),
        json!({"order": "correct", "lot": lot(PEARS),
        "place": "pantry", "packages": 3000}),
    ] {
        shelf.refuses_role(Role::Helper, Code::LeadOnly, order);
    }
    shelf.refuses_role(Role::Watcher, Code::WatchOnly, take(PEARS, "pantry", 1));
    for bad in [
        json!({"order": "take", "lot": lot("pears"), "place": "pantry"}),
        json!({"order": "take", "lot": lot(PEARS), "place": "cellar"}),
        json!({"order": "take", "lot": lot(PEARS), "place": "pantry", "size": "quart"}),
        json!({"order": "take", "lot": lot(PEARS), "place": "pantry", "packages": 1.5}),
    ] {
        assert!(
            serde_json::from_value::<Command>(bad.clone()).is_err(),
            "{bad}"
        );
    }
    assert_eq!(shelf.records.len(), 0);
}

#[test]
fn a_recalled_load_is_not_eaten_and_names_all_of_its_lots() {
    let mut kitchen = Kitchen::open();
    kitchen.fill("pears-a", "pear-quarts", 2, 2500);
    kitchen.fill("pears-b", "pear-quarts", 3, 2500);
    kitchen.does("build-load station=canner canner=a load=l1 jars=[{\"product\":\"pear-quarts\",\"jars\":5}]");
    kitchen.does("heat-load load=l1");
    kitchen.wait(20).does("rolling-boil load=l1");
    kitchen.wait(25).does("heat-off load=l1");
    kitchen.wait(5).does("lift-load load=l1");
    kitchen.rack_pears("l2", 2).wait(12 * 60);
    let sealed = json!([{"product": "pear-quarts", "lot": "pears-a", "sealed": 2},
        {"product": "pear-quarts", "lot": "pears-b", "sealed": 2}]);
    kitchen.does(&format!("check-seals load=l1 jars={sealed}"));
    kitchen.does(&seals("l2", "pear-quarts", &[("sealed", 2)]));
    let mut shelf = Shelf::of(&[("a", &kitchen)]);
    shelf.does(take("260912-F1", "pantry", 1));
    let recall = json!({"order": "recall", "batch": {"day": "a", "batch": "260912-F"},
        "reason": "The gauge read wrong"});
    let recalled = shelf.does(recall.clone());
    shelf.refuses(Code::RecallIsSo, recall);
    let told = &shelf.view()["recalls"][0];
    assert_eq!(
        json!([
            told["batch"],
            told["left"],
            told["eaten"],
            told["waiting"],
            told["lots"]
        ]),
        json!([
            "260912-F",
            3000,
            1000,
            1000,
            [lot("260912-F1"), lot("260912-F2")]
        ])
    );
    shelf.refuses(Code::RecalledPackages, take("260912-F2", "pantry", 1));
    let to_freezer = json!({"order": "move", "lot": lot("260912-F2"), "from": "pantry",
        "to": "freezer"});
    shelf.refuses(Code::RecalledPackages, to_freezer);
    // The jar still on the rack is recalled as it comes.
    kitchen.does(&format!(
        "check-seals load=l1 jars={}",
        json!([{"product": "pear-quarts", "lot": "pears-b", "sealed": 1}])
    ));
    shelf.brings("a", &kitchen);
    assert_eq!(shelf.view()["recalls"][0]["left"], 4000);
    // Other loads are not touched, and thrown away it may be.
    shelf.does(take("260912-H1", "pantry", 1));
    shelf.does(
        json!({"order": "discard", "lot": lot("260912-F2"), "place": "pantry",
        "packages": 3000, "why": "recalled"}),
    );
    shelf.refuses_role(
        Role::Helper,
        Code::LeadOnly,
        json!({"order": "undo", "command": recalled}),
    );
    shelf.does(json!({"order": "end-recall", "batch": {"day": "a", "batch": "260912-F"}}));
    shelf.does(take("260912-F1", "pantry", 1));
    assert_eq!(shelf.replayed(), shelf.state);
}

#[test]
fn everything_can_be_taken_back_for_a_week_while_nothing_depends_on_it() {
    let kitchen = pears();
    let mut shelf = Shelf::of(&[("a", &kitchen)]);
    let left = |shelf: &Shelf, place| {
        let at: LotRef = serde_json::from_value(lot(PEARS)).unwrap();
        shelf.state.left(&at, place).0
    };
    let undo = |id: Uuid| json!({"order": "undo", "command": id});
    let taken = shelf.does(take(PEARS, "pantry", 2));
    let judged = shelf.does(judge(PEARS, "half-left"));
    shelf.does(judge(PEARS, "half-left"));
    shelf.refuses(Code::NothingTaken, judge(PEARS, "half-left"));
    shelf.refuses(Code::TooLateToTakeBack, undo(taken));
    shelf.does(undo(judged));
    shelf.refuses(Code::NothingToTakeBack, undo(judged));
    let moved = shelf.does(json!({"order": "move", "lot": lot(PEARS), "from": "pantry",
        "to": "freezer", "packages": 2000}));
    assert_eq!(
        [left(&shelf, Place::Pantry), left(&shelf, Place::Freezer)],
        [0, 3000]
    );
    let eaten = shelf.does(take(PEARS, "freezer", 3));
    shelf.refuses(Code::TooLateToTakeBack, undo(moved));
    shelf.does(undo(eaten));
    shelf.does(undo(moved));
    assert_eq!(
        [left(&shelf, Place::Pantry), left(&shelf, Place::Freezer)],
        [2000, 1000]
    );
    let counted = shelf.does(
        json!({"order": "correct", "lot": lot(PEARS), "place": "pantry",
        "packages": 4000}),
    );
    assert_eq!(left(&shelf, Place::Pantry), 4000);
    // Both were taken and then found: taken back as well, there would be more than ever sealed.
    shelf.refuses(Code::TooLateToTakeBack, undo(taken));
    let again = shelf.does(take(PEARS, "pantry", 1));
    shelf.does(undo(counted));
    assert_eq!(left(&shelf, Place::Pantry), 1000);
    shelf.later(7).does(undo(again));
    let late = shelf.does(take(PEARS, "pantry", 1));
    shelf.now = Timestamp(shelf.now.0 + 7 * DAY_MS + 1);
    shelf.refuses(Code::TooLateToTakeBack, undo(late));
    assert_eq!(shelf.replayed(), shelf.state);
}

/// The form that planning reads.
#[test]
fn the_uses_tell_by_product_what_was_eaten_and_how_it_was_liked() {
    let kitchen = pears();
    let checked_at = kitchen.now.0;
    let mut shelf = Shelf::of(&[("a", &kitchen)]);
    shelf.later(10).does(take(PEARS, "pantry", 3));
    for verdict in [
        "half-left",
        "half-left",
        "too-runny",
        "not-liked",
        "just-right",
    ] {
        shelf.does(judge(PEARS, verdict));
    }
    let uses = |shelf: &Shelf| serde_json::to_value(shelf::uses(&shelf.state, shelf.now)).unwrap();
    assert_eq!(
        uses(&shelf),
        json!({"products": {"pear-quarts": {
            "name": "pear quarts", "package": {"measure": "jar", "jar": "quart"},
            "left": 3000, "taken": 3, "first_at": checked_at, "last_at": shelf.now.0,
            "half_left": 2, "too_runny": 1, "not_liked": 1, "just_right": 1}}})
    );
    // Once all are gone, the time in which they could be eaten is over.
    shelf.later(10);
    for (place, packages) in [("pantry", 1), ("refrigerator", 1), ("freezer", 1)] {
        shelf.does(take(PEARS, place, packages));
    }
    let gone_at = shelf.now.0;
    shelf.later(50);
    let told = &uses(&shelf)["products"]["pear-quarts"];
    assert_eq!(
        json!([told["left"], told["taken"], told["last_at"]]),
        json!([0, 6, gone_at])
    );
}

#[test]
fn a_bag_that_the_day_takes_back_after_it_was_eaten_asks_for_a_count() {
    let mut kitchen = Kitchen::open();
    kitchen.roasts_spread();
    kitchen.does("tally station=freezer product=spread amount=1000");
    let mut shelf = Shelf::of(&[("a", &kitchen)]);
    shelf.does(take(PEARS, "freezer", 1));
    kitchen.does("undo-tally station=freezer");
    shelf.brings("a", &kitchen);
    let told = &shelf.view()["products"][0];
    assert_eq!(
        json!([told["left"], told["lots"][0]["left"]]),
        json!([-1000, -1000])
    );
    assert_eq!(shelf.state.check(), Ok(()));
    shelf.does(json!({"order": "correct", "lot": lot(PEARS), "place": "freezer", "packages": 0}));
    assert_eq!(shelf.view()["products"][0]["left"], 0);
}

/// Something is ordered of one of the lots, whatever sense it makes.
#[derive(Debug, Clone)]
struct Step {
    kind: usize,
    lot: usize,
    place: &'static str,
    other: &'static str,
    packages: i64,
    back: usize,
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let places = || select(vec!["pantry", "refrigerator", "freezer"]);
    let packages = select(vec![-1000, 0, 500, 1000, 1000, 1000, 2000, 3000, 9000]);
    let step = (
        0..12_usize,
        0..40_usize,
        places(),
        places(),
        packages,
        0..12_usize,
    )
        .prop_map(|(kind, lot, place, other, packages, back)| Step {
            kind,
            lot,
            place,
            other,
            packages,
            back,
        });
    prop::collection::vec(step, 10..80)
}

fn order(step: &Step, lots: &[LotRef], given: &[Uuid]) -> Value {
    let at = &lots[step.lot % lots.len()];
    let (lot, batch) = (json!(at), json!(at.batch()));
    let verdicts = ["half-left", "too-runny", "not-liked", "just-right"];
    let (place, packages) = (step.place, step.packages);
    match step.kind {
        0..=3 => json!({"order": "take", "lot": lot, "place": place, "packages": packages}),
        4 => json!({"order": "judge", "lot": lot, "verdict": verdicts[step.back % 4]}),
        5 | 6 => json!({"order": "move", "lot": lot, "from": place, "to": step.other,
            "packages": packages}),
        7 => json!({"order": "discard", "lot": lot, "place": place, "packages": packages,
            "why": "broken"}),
        8 => json!({"order": "correct", "lot": lot, "place": place, "packages": packages}),
        9 if step.back < 4 => json!({"order": "recall", "batch": batch, "reason": "doubt"}),
        9 => json!({"order": "end-recall", "batch": batch}),
        _ => {
            let back = given
                .len()
                .checked_sub(1 + step.back)
                .map(|index| given[index]);
            json!({"order": "undo", "command": back.unwrap_or(Uuid::nil())})
        }
    }
}

/// Packages made = on the shelf + eaten + failed + waiting (+ gone back, + missed by a count), for
/// every lot, counted a second time from the orders that were accepted.
#[test]
fn every_package_is_accounted_for_over_random_days_and_random_taking() {
    let days = crate::random_days::all(6);
    let named: Vec<(String, &Kitchen)> = days
        .iter()
        .enumerate()
        .map(|(n, day)| (format!("day-{n}"), day))
        .collect();
    let named: Vec<(&str, &Kitchen)> = named.iter().map(|(id, day)| (id.as_str(), *day)).collect();
    let (mut accepted, mut refused) = (0, 0);
    let config = ProptestConfig {
        cases: 120,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let mut runner = proptest::test_runner::TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(
            proptest::test_runner::RngAlgorithm::ChaCha,
        ),
    );
    let counts = std::cell::RefCell::new((&mut accepted, &mut refused));
    runner
        .run(&steps(), |steps| {
            let mut shelf = Shelf::of(&named);
            // Few of them, so that orders meet.
            let lots: Vec<LotRef> = shelf
                .state
                .lots()
                .filter(|(_, _, lot)| !lot.places.is_empty())
                .map(|(at, ..)| at)
                .take(5)
                .collect();
            let mut given = Vec::new();
            let mut counts = counts.borrow_mut();
            for step in &steps {
                shelf.now = Timestamp(shelf.now.0 + HOUR_MS);
                match shelf.gives(Role::Lead, &order(step, &lots, &given)) {
                    Ok(id) => {
                        given.push(id);
                        *counts.0 += 1;
                    }
                    Err(_) => *counts.1 += 1,
                }
            }
            prop_assert_eq!(&shelf.replayed(), &shelf.state);
            for (at, _, lot) in shelf.state.lots() {
                let told = Accounts::of(&shelf.state, &at, lot);
                prop_assert!(told.add_up(), "{:?} {:?}", at, told);
                let [eaten, thrown, found] = counted(&shelf.records, &at);
                prop_assert_eq!(told.eaten.0, eaten);
                prop_assert_eq!(told.failed.0 - lot.broken.0, thrown);
                prop_assert_eq!(told.missing.0, -found);
                let arrived: i64 = lot.places.values().map(|stood| stood.packages.0).sum();
                prop_assert_eq!(told.left.0, arrived - eaten - thrown + found);
                for place in Place::ALL {
                    prop_assert!(shelf.state.left(&at, place) >= Amount::ZERO);
                }
                let sealed = shelf.state.arrived(&at, Place::Pantry);
                prop_assert!(shelf.state.left(&at, Place::Pantry) <= sealed);
            }
            Ok(())
        })
        .unwrap();
    assert!(accepted > 1000 && refused > 1000, "{accepted} {refused}");
}

/// Eaten, thrown away and found by counts, read off the records.
fn counted(records: &[Record], at: &LotRef) -> [i64; 3] {
    let undone: Vec<String> = records
        .iter()
        .map(|r| serde_json::to_value(&r.event).unwrap())
        .filter(|event| event["fact"] == "undone")
        .map(|event| event["command"].as_str().unwrap().to_owned())
        .collect();
    let mut sums = [0; 3];
    for record in records {
        let event = serde_json::to_value(&record.event).unwrap();
        if event["lot"] != json!(at) || undone.contains(&record.command.to_string()) {
            continue;
        }
        let packages = event["packages"].as_i64().unwrap_or(0);
        match event["fact"].as_str().unwrap() {
            "taken" => sums[0] += packages,
            "discarded" => sums[1] += packages,
            "corrected" => sums[2] += packages - event["was"].as_i64().unwrap(),
            _ => {}
        }
    }
    sums
}
