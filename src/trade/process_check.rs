//! Checks the tables of tested processes against what every published table keeps to.
//!
//! For finding a slip of the pen before a family relies on it. Not for reading the sheet.
//! Invariant: a sheet that passes has bands from 0 ft without gap or overlap, times and pressures
//! that never fall with altitude or with a larger jar, and steam rows no longer than the limit.

use super::faults::Gathered;
use super::process_sheet::{Band, PROCESSES, Table};
use super::product_sheet::{Acidity, Product};
use super::terms::{Confidence, Method};

pub(super) fn check(
    tables: &[Table],
    products: &[Product],
    steam_limit: Option<u32>,
    faults: &mut Gathered,
) {
    for table in tables {
        check_bands(table, faults);
        check_rises(table, faults);
        check_pressure(table, tables, faults);
        check_acidity(table, products, faults);
        if table.method == Method::Steam {
            check_steam(table, tables, steam_limit, faults);
        }
    }
    check_larger_jars(tables, faults);
    for product in products {
        if !tables.iter().any(|table| table.product == product.name) {
            let what = format!("\"{}\" of products.csv has no process", product.name);
            faults.file(PROCESSES, what);
        }
    }
}

fn check_bands(table: &Table, faults: &mut Gathered) {
    if let Some(first) = table.bands.first().filter(|band| band.from_ft != 0) {
        faults.at(
            PROCESSES,
            first.line,
            "the first altitude band must start at 0 ft",
        );
    }
    for band in &table.bands {
        if band.to_ft.is_some_and(|to| to <= band.from_ft) {
            faults.at(
                PROCESSES,
                band.line,
                "the altitude band ends before it starts",
            );
        }
        if band.minutes == 0 {
            faults.at(PROCESSES, band.line, "minutes must be above 0");
        }
        if band.confidence == Confidence::Memory {
            faults.at(
                PROCESSES,
                band.line,
                "numbers from memory may not set a process",
            );
        }
    }
    for (lower, upper) in pairs(&table.bands) {
        let Some(end) = lower.to_ft else {
            let what = "follows a band without an upper end (overlap); one of them must go";
            faults.at(PROCESSES, upper.line, what);
            continue;
        };
        let expected = end.saturating_add(1);
        if upper.from_ft != expected {
            let kind = if upper.from_ft > expected {
                "gap"
            } else {
                "overlap"
            };
            let what = format!("altitude {kind}: the band must start at {expected} ft");
            faults.at(PROCESSES, upper.line, what);
        }
    }
}

fn check_rises(table: &Table, faults: &mut Gathered) {
    for (lower, upper) in pairs(&table.bands) {
        if upper.minutes < lower.minutes {
            faults.at(
                PROCESSES,
                upper.line,
                "minutes fall with altitude; check both bands",
            );
        }
        if upper.psi < lower.psi {
            faults.at(
                PROCESSES,
                upper.line,
                "psi falls with altitude; check both bands",
            );
        }
    }
}

fn check_pressure(table: &Table, tables: &[Table], faults: &mut Gathered) {
    for band in &table.bands {
        if band.psi.is_some_and(|psi| psi > 0) != table.method.is_pressure() {
            let what = "psi belongs in every pressure row, above 0, and in no other row";
            faults.at(PROCESSES, band.line, what);
        }
    }
    let line = first_line(table);
    if table.option.is_some() && !table.method.is_pressure() {
        faults.at(PROCESSES, line, "only pressure rows have an option");
    }
    let is_mixed = |other: &&Table| same_food(table, other) && table.jar == other.jar;
    if table.option.is_none() && tables.iter().filter(is_mixed).count() > 1 {
        faults.at(
            PROCESSES,
            line,
            "a process with several options must name this one's option",
        );
    }
}

fn check_acidity(table: &Table, products: &[Product], faults: &mut Gathered) {
    let line = first_line(table);
    let Some(product) = products
        .iter()
        .find(|product| product.name == table.product)
    else {
        let what = format!("\"{}\" is no name in products.csv", table.product);
        faults.at(PROCESSES, line, what);
        return;
    };
    if product.acidity == Acidity::LowAcid && !table.method.is_pressure() {
        faults.at(
            PROCESSES,
            line,
            "low-acid food may have pressure processes only",
        );
    }
    if (product.acidity == Acidity::Acidified) != table.acid.is_some() {
        let what = "acid must be filled in for an acidified product and blank for any other";
        faults.at(PROCESSES, line, what);
    }
}

fn check_steam(table: &Table, tables: &[Table], limit: Option<u32>, faults: &mut Gathered) {
    let boiling = tables.iter().find(|other| {
        other.method == Method::BoilingWater
            && (&other.product, other.pack, other.jar) == (&table.product, table.pack, table.jar)
    });
    for band in &table.bands {
        if limit.is_some_and(|limit| band.minutes > limit) {
            faults.at(
                PROCESSES,
                band.line,
                "is longer than a steam canner may run",
            );
        }
        let same = |altitude: i32| {
            let boiling = boiling.and_then(|boiling| boiling.band(altitude));
            boiling.is_some_and(|boiling| boiling.minutes == band.minutes)
        };
        if !same(band.from_ft) || !same(band.to_ft.unwrap_or(i32::MAX)) {
            faults.at(
                PROCESSES,
                band.line,
                "must have the minutes of the boiling-water row",
            );
        }
    }
}

fn check_larger_jars(tables: &[Table], faults: &mut Gathered) {
    for larger in tables {
        let smaller = |other: &&Table| {
            same_food(larger, other) && other.option == larger.option && other.jar < larger.jar
        };
        for smaller in tables.iter().filter(smaller) {
            for band in &larger.bands {
                if overlapping(smaller, band).any(|other| is_stricter(other, band)) {
                    let what = format!("is shorter or at less psi than the {}", smaller.jar);
                    faults.at(PROCESSES, band.line, what);
                }
            }
        }
    }
}

fn overlapping<'table>(
    table: &'table Table,
    band: &'table Band,
) -> impl Iterator<Item = &'table Band> {
    table
        .bands
        .iter()
        .filter(|other| other.covers(band.from_ft) || band.covers(other.from_ft))
}

fn is_stricter(smaller: &Band, larger: &Band) -> bool {
    smaller.minutes > larger.minutes || smaller.psi > larger.psi
}

fn same_food(one: &Table, other: &Table) -> bool {
    (&one.product, one.method, one.pack) == (&other.product, other.method, other.pack)
}

fn first_line(table: &Table) -> u64 {
    table.bands.first().map_or(0, |band| band.line)
}

fn pairs(bands: &[Band]) -> impl Iterator<Item = (&Band, &Band)> {
    bands.iter().zip(bands.iter().skip(1))
}
