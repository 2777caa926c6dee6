//! Names, listed aliases and the fixed words.

use putby::trade::{Jar, Method, Pack, TestedProcess, product, products, tested};

#[test]
fn every_listed_alias_leads_to_its_product() {
    for listed in products() {
        for name in listed.aliases.iter().chain([&listed.name]) {
            assert_eq!(product(name).unwrap().name, listed.name, "{name}");
        }
    }
    for (alias, name) in [
        ("plum puree", "fruit puree"),
        ("Pear purée", "fruit puree"),
        ("pear halves", "pears"),
        ("peach slices", "peaches"),
        ("tomatoes in water", "whole or halved tomatoes in water"),
        ("jam", "jams and jellies"),
        ("  PEARS ", "pears"),
    ] {
        assert_eq!(product(alias).unwrap().name, name, "{alias}");
    }
}

#[test]
fn the_answer_carries_the_one_name_of_the_product() {
    let process = tested("plum puree", Pack::Hot, Jar::Quart, Method::BoilingWater, 0).unwrap();
    assert_eq!(process.product, "fruit puree");
}

#[test]
fn fixed_words_are_the_same_in_text_and_json() {
    for method in Method::ALL {
        assert_eq!(method.to_string().parse::<Method>().unwrap(), *method);
        assert_eq!(serde_json::to_value(method).unwrap(), method.to_string());
    }
    for jar in Jar::ALL {
        assert_eq!(jar.to_string().parse::<Jar>().unwrap(), *jar);
        assert_eq!(serde_json::to_value(jar).unwrap(), jar.to_string());
    }
    assert!(Jar::HalfPint < Jar::Pint && Jar::Pint < Jar::Quart && Jar::Quart < Jar::HalfGallon);
    let error = "gallon".parse::<Jar>().unwrap_err().to_string();
    assert!(
        error.contains("half-pint, pint, quart, half-gallon"),
        "{error}"
    );
}

#[test]
fn a_tested_process_survives_json() {
    let process = tested(
        "tomato sauce",
        Pack::Hot,
        Jar::Pint,
        Method::PressureDial,
        0,
    )
    .unwrap();
    let text = serde_json::to_string(&process).unwrap();
    assert_eq!(
        serde_json::from_str::<TestedProcess>(&text).unwrap(),
        process
    );
}
