//! Needs 5, 15 and 21: who may, who rests, who goes.

use crate::kitchen::{Kitchen, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role};
use serde_json::json;

#[test]
fn need_05_children_are_kept_off_blades_and_heat_whoever_taps() {
    let mut k = Kitchen::open();
    for role in [Role::Helper, Role::Lead] {
        for order in [
            "claim helper=bo station=fill beside=maren",
            "claim helper=bo station=slice",
        ] {
            let refusal = k.refuses_role(role, Code::AgeRule, order_of(order));
            assert!(refusal.detail.contains("Bo"), "{refusal:?}");
        }
    }
    k.does("claim helper=bo station=wash");
    k.refuses(Code::AgeRule, "switch helper=bo station=slice");
    k.does("claim helper=osk station=slice");
    k.refuses(Code::AgeRule, "swap one=bo other=osk");
    assert_eq!((k.seat("bo"), k.seat("osk")), (Some("wash"), Some("slice")));
    let view = k.view();
    assert_eq!(view["helpers"]["bo"]["may"]["slice"], "never");
    assert_eq!(view["helpers"]["wren"]["may"]["slice"], "with-adult");
    assert_eq!(view["helpers"]["maren"]["may"]["slice"], "allowed");
}

#[test]
fn need_05_the_grown_up_beside_is_named_kept_and_can_be_relieved() {
    let mut k = Kitchen::open();
    k.does("claim helper=wren station=slice beside=osk");
    assert_eq!(
        k.view()["stations"]["slice"]["seated"]["wren"]["beside"],
        "osk"
    );
    assert_eq!(k.view()["helpers"]["osk"]["beside_of"], json!(["wren"]));
    for order in [
        "go-home helper=osk",
        "take-break helper=osk",
        "claim helper=osk station=fill",
    ] {
        let refusal = k.refuses(Code::Depended, order);
        assert!(refusal.detail.contains("Wren"), "{refusal:?}");
    }
    k.refuses(Code::AdultBusy, "stay-beside helper=wren adult=juno");
    k.all(&[
        "stay-beside helper=wren adult=maren",
        "claim helper=osk station=fill",
    ]);
    assert_eq!(k.view()["helpers"]["maren"]["beside_of"], json!(["wren"]));
}

#[test]
fn need_05_only_the_lead_changes_the_rule_for_ages() {
    let mut k = Kitchen::open();
    let order = json!({"order": "set-age-rules", "rules": {"blade":
        [{"from_age": 0, "verdict": "with-adult"}]}});
    k.refuses_role(Role::Helper, Code::LeadOnly, order.clone());
    k.does_json(order);
    k.refuses(Code::AdultNeeded, "claim helper=bo station=slice");
    k.does("claim helper=bo station=slice beside=osk");
    // A need the house has no rule for is for grown-ups.
    k.refuses(Code::AgeRule, "claim helper=juno station=fill");
}

#[test]
fn need_15_helpers_swap_rest_and_come_back_without_asking_the_lead() {
    let mut k = Kitchen::open();
    k.helper_does("claim helper=juno station=slice");
    k.helper_does("claim helper=osk station=fill");
    k.wait(40).helper_does("swap one=juno other=osk");
    assert_eq!(
        (k.seat("juno"), k.seat("osk")),
        (Some("fill"), Some("slice"))
    );
    k.helper_does("take-break helper=juno");
    assert_eq!(
        (k.seat("juno"), &k.view()["helpers"]["juno"]["presence"]),
        (None, &json!("resting"))
    );
    k.helper_does("claim helper=edda station=fill");
    k.helper_does("end-break helper=juno");
    k.refuses(Code::WrongPhase, "end-break helper=juno");
    k.helper_does("claim helper=juno station=fill");
}

#[test]
fn need_15_two_at_one_station_have_nothing_to_swap() {
    let mut k = Kitchen::open();
    k.all(&[
        "claim helper=juno station=slice",
        "claim helper=osk station=slice",
    ]);
    k.refuses(Code::AlreadySeated, "swap one=juno other=osk");
    k.refuses(Code::NotSeated, "swap one=juno other=maren");
}

#[test]
fn need_15_a_swap_of_a_child_and_the_adult_beside_is_judged_as_it_would_be() {
    let mut k = Kitchen::open();
    k.all(&[
        "claim helper=wren station=slice beside=osk",
        "claim helper=osk station=wash",
    ]);
    k.helper_does("swap one=wren other=osk");
    assert_eq!(
        (k.seat("wren"), k.seat("osk")),
        (Some("wash"), Some("slice"))
    );
    k.refuses(Code::AdultNeeded, "swap one=wren other=osk");
}

#[test]
fn need_21_who_goes_in_a_hurry_leaves_no_child_alone_and_hands_the_pot_on() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("claim helper=osk station=wash");
    k.does("claim helper=wren station=slice beside=osk");
    k.does("start-pot station=cook pot=big minder=osk backup=maren");
    let refusal = k.refuses(Code::Depended, "go-home helper=osk");
    assert!(
        refusal.detail.contains("pot") && refusal.detail.contains("Wren"),
        "{refusal:?}"
    );
    k.helper_does("go-home helper=osk hurry=true");
    assert_eq!((k.seat("osk"), k.seat("wren")), (None, None));
    let pot = k.view()["stations"]["cook"]["pots"]["big"].clone();
    assert_eq!((&pot["minder"], pot.get("backup")), (&json!("maren"), None));
    assert_eq!(k.chore("unminded-pot"), None);
    k.helper_does("go-home helper=maren hurry=true");
    assert!(
        k.chore("unminded-pot").is_some(),
        "nobody is left to mind it"
    );
    k.does("hand-over-pot station=cook pot=big minder=edda");
    assert_eq!(k.chore("unminded-pot"), None);
}

#[test]
fn need_21_a_backup_who_is_resting_does_not_get_the_pot() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=osk backup=maren");
    k.all(&["take-break helper=maren", "go-home helper=osk hurry=true"]);
    assert!(k.chore("unminded-pot").is_some());
}

#[test]
fn need_21_a_late_helper_joins_when_they_come() {
    let mut k = Kitchen::with(|plan| plan["helpers"]["juno"]["here"] = json!(false));
    let refusal = k.refuses(Code::NotHere, "claim helper=juno station=fill");
    assert!(refusal.detail.contains("not here yet"), "{refusal:?}");
    k.all(&[
        "arrive helper=juno",
        "claim helper=juno station=fill",
        "go-home helper=juno",
    ]);
    k.refuses(Code::NotHere, "go-home helper=juno");
    k.all(&["arrive helper=juno"]);
    k.refuses(Code::WrongPhase, "arrive helper=juno");
}
