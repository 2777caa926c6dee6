//! The atmospheric steam canner: the boiling-water time, never more than 45 minutes.

use putby::trade::{Jar, Method, Pack, list, tested};

// NCHFP Burning Issue: Using Atmospheric Steam Canners: boiling-water times, 45 minutes or less
// with the altitude counted in.
#[test]
fn no_steam_process_is_longer_than_45_minutes() {
    let steam: Vec<_> = list()
        .filter(|table| table.method == Method::Steam)
        .collect();
    assert!(steam.len() > 20, "only {} steam tables", steam.len());
    for table in steam {
        assert!(
            table.bands.iter().all(|band| band.minutes <= 45),
            "{table:?}"
        );
    }
}

#[test]
fn a_steam_process_has_the_boiling_water_minutes_and_names_both_sources() {
    let boiling = tested("plums", Pack::Hot, Jar::Quart, Method::BoilingWater, 3001).unwrap();
    let steam = tested("plums", Pack::Hot, Jar::Quart, Method::Steam, 3001).unwrap();
    assert_eq!(steam.minutes, boiling.minutes);
    assert!(steam.source.contains("FCS8297"), "{}", steam.source);
    assert!(
        steam.source.contains("Atmospheric Steam Canners"),
        "{}",
        steam.source
    );
}

// UF/IFAS FCS8183 Tomato juice: quarts 40, 45, 50, 55; the third passes 45.
#[test]
fn steam_is_refused_at_altitudes_where_45_minutes_are_passed() {
    let at = |altitude| {
        tested(
            "tomato juice",
            Pack::Hot,
            Jar::Quart,
            Method::Steam,
            altitude,
        )
    };
    assert_eq!(at(3000).unwrap().minutes, 45);
    let refusal = at(3001).unwrap_err();
    assert_eq!(refusal.code(), "altitude-outside-table");
    assert!(refusal.to_string().contains("0 to 3000 ft"), "{refusal}");
    assert!(
        refusal.instead().contains("boiling-water"),
        "{}",
        refusal.instead()
    );
    let juice = "whole or halved tomatoes in tomato juice";
    let refusal = tested(juice, Pack::Hot, Jar::Pint, Method::Steam, 0).unwrap_err();
    assert_eq!(refusal.code(), "method-not-tabled");
}
