//! Needs 5, 15 and 21: who may, who rests, who goes.

use crate::kitchen::{Kitchen, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role};
use serde_json::json;

#[test]
fn need_05_children_are_kept_off_blades_and_heat_whoever_taps() {
    let mut day = Kitchen::open();
    for role in [Role::Helper, Role::Lead] {
        for order in [
            "claim helper=bo station=fill beside=maren",
            "claim helper=bo station=slice",
        ] {
            let refusal = day.refuses_role(role, Code::AgeRule, order_of(order));
            assert!(refusal.detail.contains("Bo"), "{refusal:?}");
        }
    }
    day.does("claim helper=bo station=wash");
    day.refuses(Code::AgeRule, "switch helper=bo station=slice");
    day.does("claim helper=osk station=slice");
    day.refuses(Code::AgeRule, "swap one=bo other=osk");
    assert_eq!(
        (day.seat("bo"), day.seat("osk")),
        (Some("wash"), Some("slice"))
    );
    let view = day.view();
    assert_eq!(view["helpers"]["bo"]["may"]["slice"], "never");
    assert_eq!(view["helpers"]["wren"]["may"]["slice"], "with-adult");
    assert_eq!(view["helpers"]["maren"]["may"]["slice"], "allowed");
}

#[test]
fn need_05_the_grown_up_beside_is_named_kept_and_can_be_relieved() {
    let mut day = Kitchen::open();
    day.does("claim helper=wren station=slice beside=osk");
    assert_eq!(
        day.view()["stations"]["slice"]["seated"]["wren"]["beside"],
        "osk"
    );
    assert_eq!(day.view()["helpers"]["osk"]["beside_of"], json!(["wren"]));
    for order in [
        "go-home helper=osk",
        "take-break helper=osk",
        "claim helper=osk station=fill",
    ] {
        let refusal = day.refuses(Code::Depended, order);
        assert!(refusal.detail.contains("Wren"), "{refusal:?}");
    }
    day.refuses(Code::AdultBusy, "stay-beside helper=wren adult=juno");
    day.all(&[
        "stay-beside helper=wren adult=maren",
        "claim helper=osk station=fill",
    ]);
    assert_eq!(day.view()["helpers"]["maren"]["beside_of"], json!(["wren"]));
}

#[test]
fn need_05_only_the_lead_changes_the_rule_for_ages() {
    let mut day = Kitchen::open();
    let order = json!({"order": "set-age-rules", "rules": {"blade":
        [{"from_age": 0, "verdict": "with-adult"}]}});
    day.refuses_role(Role::Helper, Code::LeadOnly, order.clone());
    day.does_json(order);
    day.refuses(Code::AdultNeeded, "claim helper=bo station=slice");
    day.does("claim helper=bo station=slice beside=osk");
    // A need the house has no rule for is for grown-ups.
    day.refuses(Code::AgeRule, "claim helper=juno station=fill");
}

#[test]
fn need_15_helpers_swap_rest_and_come_back_without_asking_the_lead() {
    let mut day = Kitchen::open();
    day.helper_does("claim helper=juno station=slice");
    day.helper_does("claim helper=osk station=fill");
    day.wait(40).helper_does("swap one=juno other=osk");
    assert_eq!(
        (day.seat("juno"), day.seat("osk")),
        (Some("fill"), Some("slice"))
    );
    day.helper_does("take-break helper=juno");
    assert_eq!(
        (day.seat("juno"), &day.view()["helpers"]["juno"]["presence"]),
        (None, &json!("resting"))
    );
    day.helper_does("claim helper=edda station=fill");
    day.helper_does("end-break helper=juno");
    day.refuses(Code::WrongPhase, "end-break helper=juno");
    day.helper_does("claim helper=juno station=fill");
}

#[test]
fn need_15_two_at_one_station_have_nothing_to_swap() {
    let mut day = Kitchen::open();
    day.all(&[
        "claim helper=juno station=slice",
        "claim helper=osk station=slice",
    ]);
    day.refuses(Code::AlreadySeated, "swap one=juno other=osk");
    day.refuses(Code::NotSeated, "swap one=juno other=maren");
}

#[test]
fn need_15_a_swap_of_a_child_and_the_adult_beside_is_judged_as_it_would_be() {
    let mut day = Kitchen::open();
    day.all(&[
        "claim helper=wren station=slice beside=osk",
        "claim helper=osk station=wash",
    ]);
    day.helper_does("swap one=wren other=osk");
    assert_eq!(
        (day.seat("wren"), day.seat("osk")),
        (Some("wash"), Some("slice"))
    );
    day.refuses(Code::AdultNeeded, "swap one=wren other=osk");
}

#[test]
fn need_21_who_goes_in_a_hurry_leaves_no_child_alone_and_hands_the_pot_on() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("claim helper=osk station=wash");
    day.does("claim helper=wren station=slice beside=osk");
    day.does("start-pot station=cook pot=big minder=osk backup=maren");
    let refusal = day.refuses(Code::Depended, "go-home helper=osk");
    assert!(
        refusal.detail.contains("pot") && refusal.detail.contains("Wren"),
        "{refusal:?}"
    );
    day.helper_does("go-home helper=osk hurry=true");
    assert_eq!((day.seat("osk"), day.seat("wren")), (None, None));
    let pot = day.view()["stations"]["cook"]["pots"]["big"].clone();
    assert_eq!((&pot["minder"], pot.get("backup")), (&json!("maren"), None));
    assert_eq!(day.chore("unminded-pot"), None);
    day.helper_does("go-home helper=maren hurry=true");
    assert!(
        day.chore("unminded-pot").is_some(),
        "nobody is left to mind it"
    );
    day.does("hand-over-pot station=cook pot=big minder=edda");
    assert_eq!(day.chore("unminded-pot"), None);
}

#[test]
fn need_21_a_backup_who_is_resting_does_not_get_the_pot() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=osk backup=maren");
    day.all(&["take-break helper=maren", "go-home helper=osk hurry=true"]);
    assert!(day.chore("unminded-pot").is_some());
}

#[test]
fn need_21_a_late_helper_joins_when_they_come() {
    let mut day = Kitchen::with(|plan| plan["helpers"]["juno"]["here"] = json!(false));
    let refusal = day.refuses(Code::NotHere, "claim helper=juno station=fill");
    assert!(refusal.detail.contains("not here yet"), "{refusal:?}");
    day.all(&[
        "arrive helper=juno",
        "claim helper=juno station=fill",
        "go-home helper=juno",
    ]);
    day.refuses(Code::NotHere, "go-home helper=juno");
    day.all(&["arrive helper=juno"]);
    day.refuses(Code::WrongPhase, "arrive helper=juno");
}
