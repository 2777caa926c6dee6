//! Products with two published pressures: offered whole, never mixed.

use putby::trade::{Jar, Method, Pack, list, options, tested};

// UF/IFAS Extension FCS8186 (USDA) Standard tomato sauce Table 2: 20 minutes at 6-9 psi or 15
// minutes at 11-14 psi, https://edis.ifas.ufl.edu/he175.
#[test]
fn both_options_are_offered_and_the_longer_is_chosen() {
    let offered: Vec<_> = options(
        "tomato sauce",
        Pack::Hot,
        Jar::Pint,
        Method::PressureDial,
        4500,
    )
    .unwrap()
    .iter()
    .map(|option| (option.minutes, option.psi))
    .collect();
    assert_eq!(offered, [(20, Some(8)), (15, Some(13))]);
    let chosen = tested(
        "tomato sauce",
        Pack::Hot,
        Jar::Pint,
        Method::PressureDial,
        4500,
    )
    .unwrap();
    assert_eq!((chosen.minutes, chosen.psi), (20, Some(8)));
}

#[test]
fn every_answer_is_one_row_of_one_table() {
    for altitude in [0, 1000, 1001, 2000, 2001, 4001, 6001, 8000] {
        for table in list() {
            let (pack, jar, method) = (table.pack, table.jar, table.method);
            let Ok(offered) = options(&table.product, pack, jar, method, altitude) else {
                assert!(
                    table.top_ft().is_some_and(|top| top < altitude),
                    "{table:?}"
                );
                continue;
            };
            for option in offered {
                let is_row = list().any(|other| {
                    (&other.product, other.pack, other.jar, other.method)
                        == (&option.product, pack, jar, method)
                        && other.band(altitude).is_some_and(|band| {
                            (band.minutes, band.psi) == (option.minutes, option.psi)
                        })
                });
                assert!(is_row, "{option:?}");
                assert_eq!(option.psi.is_some(), method.is_pressure(), "{option:?}");
            }
        }
    }
}
