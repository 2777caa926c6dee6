//! The exact lookup of a tested process.
//!
//! For answering from one published row or refusing. Not for estimating. Invariant: no number is
//! computed between rows; only a half-pint may use the pint row, by the published rule
//! `jar-smaller`, and the answer's source says so.

use super::altitude::HIGHEST_ALTITUDE_FT;
use super::near_names::near_names;
use super::no_tested_process::NoTestedProcess;
use super::numbers::sterilise_below_minutes;
use super::process_sheet::{Band, Table};
use super::product_sheet::{Acidity, Product, plain_name};
use super::sheets::facts;
use super::terms::{Jar, Method, Pack};
use super::tested_process::TestedProcess;

/// Every tabled process with its altitude bands, in the order of product, method, pack, jar.
///
/// Half-pints that use the pint row by rule are not listed.
pub fn list() -> impl Iterator<Item = &'static Table> {
    facts().tables.iter()
}

/// The tested process for a product, pack, jar and method at an altitude in feet.
///
/// Where two pressures are published for one product, this is the longer process at the lower
/// pressure: a slip in choosing then makes food softer, never less safe. A weighted gauge without
/// that weight needs the other, which is in [`options`]; the two are never mixed.
///
/// # Errors
/// The reason there is none and what to do instead.
pub fn tested(
    product: &str,
    pack: Pack,
    jar: Jar,
    method: Method,
    altitude_ft: i32,
) -> Result<TestedProcess, NoTestedProcess> {
    let mut options = options(product, pack, jar, method, altitude_ft)?;
    Ok(options.swap_remove(0))
}

/// Every published option for the same question, the longest first, then the lowest pressure;
/// never empty.
///
/// # Errors
/// The reason there is none and what to do instead.
pub fn options(
    product: &str,
    pack: Pack,
    jar: Jar,
    method: Method,
    altitude_ft: i32,
) -> Result<Vec<TestedProcess>, NoTestedProcess> {
    let product = find_product(product)?;
    let tables = find_tables(product, pack, jar, method)?;
    let bands = find_bands(product, method, &tables, altitude_ft)?;
    let mut options: Vec<_> = bands
        .into_iter()
        .map(|(table, band)| answer(table, band, jar, altitude_ft))
        .collect();
    options.sort_by(|one, other| {
        other
            .minutes
            .cmp(&one.minutes)
            .then_with(|| one.psi.cmp(&other.psi))
    });
    Ok(options)
}

fn find_product(name: &str) -> Result<&'static Product, NoTestedProcess> {
    let facts = facts();
    let plain = plain_name(name);
    if let Some(product) = facts.product(&plain) {
        return Ok(product);
    }
    if let Some(refused) = facts
        .refusals
        .iter()
        .find(|refused| refused.is_called(&plain))
    {
        return Err(NoTestedProcess::RefusedProduct {
            product: plain,
            why: refused.why.clone(),
            instead: refused.instead.clone(),
            source: refused.source.clone(),
        });
    }
    let near = near_names(&plain, &facts.products);
    Err(NoTestedProcess::UnknownProduct {
        asked: name.trim().to_string(),
        near,
    })
}

/// The tables for the jar, or for a half-pint those of the pint.
fn find_tables(
    product: &Product,
    pack: Pack,
    jar: Jar,
    method: Method,
) -> Result<Vec<&'static Table>, NoTestedProcess> {
    let name = product.name.clone();
    let of_product: Vec<_> = list().filter(|table| table.product == name).collect();
    let of_method: Vec<_> = of_product
        .iter()
        .copied()
        .filter(|table| table.method == method)
        .collect();
    if of_method.is_empty() {
        let low_acid = product.acidity == Acidity::LowAcid;
        let tabled = each_once(&of_product, |table| table.method);
        return Err(NoTestedProcess::MethodNotTabled {
            product: name,
            method,
            tabled,
            low_acid,
        });
    }
    let of_pack: Vec<_> = of_method
        .iter()
        .copied()
        .filter(|table| table.pack == pack)
        .collect();
    if of_pack.is_empty() {
        let tabled = each_once(&of_method, |table| table.pack);
        return Err(NoTestedProcess::PackNotTabled {
            product: name,
            method,
            pack,
            tabled,
        });
    }
    let in_jar = |jar: Jar| -> Vec<_> {
        of_pack
            .iter()
            .copied()
            .filter(|table| table.jar == jar)
            .collect()
    };
    let tables = in_jar(jar);
    if !tables.is_empty() {
        return Ok(tables);
    }
    let pints = in_jar(Jar::Pint);
    if jar == Jar::HalfPint && !pints.is_empty() {
        return Ok(pints);
    }
    let tabled = each_once(&of_pack, |table| table.jar);
    Err(NoTestedProcess::JarNotTabled {
        product: name,
        method,
        pack,
        jar,
        tabled,
    })
}

fn find_bands<'table>(
    product: &Product,
    method: Method,
    tables: &[&'table Table],
    altitude_ft: i32,
) -> Result<Vec<(&'table Table, &'table Band)>, NoTestedProcess> {
    if altitude_ft > HIGHEST_ALTITUDE_FT {
        return Err(NoTestedProcess::AltitudeNotBelievable { altitude_ft });
    }
    let band = |table: &'table Table| table.band(altitude_ft).map(|band| (table, band));
    let bands: Vec<_> = tables.iter().copied().filter_map(band).collect();
    if !bands.is_empty() {
        return Ok(bands);
    }
    let tops: Option<Vec<i32>> = tables.iter().map(|table| table.top_ft()).collect();
    Err(NoTestedProcess::AltitudeOutsideTable {
        product: product.name.clone(),
        method,
        altitude_ft,
        top_ft: tops.and_then(|tops| tops.into_iter().max()),
    })
}

fn answer(table: &Table, band: &Band, jar: Jar, altitude_ft: i32) -> TestedProcess {
    let is_smaller = jar != table.jar;
    let heated_in_water = !table.method.is_pressure();
    TestedProcess {
        product: table.product.clone(),
        method: table.method,
        pack: table.pack,
        jar,
        altitude_ft,
        minutes: band.minutes,
        psi: band.psi,
        headspace_64ths: table.headspace_64ths,
        acid: acid(table, is_smaller),
        sterilise_jars: heated_in_water && band.minutes < sterilise_below_minutes().value,
        source: source(band, is_smaller),
    }
}

/// A half-pint gets the whole dose of the pint: no smaller one is published (rule
/// `acid-half-pint`).
fn acid(table: &Table, is_smaller: bool) -> Option<String> {
    let acid = table.acid.as_deref()?;
    if is_smaller && acid.contains("lemon juice") {
        return Some(format!(
            "{acid} (the pint's whole dose; none is published for half-pints)"
        ));
    }
    Some(acid.to_string())
}

fn source(band: &Band, is_smaller: bool) -> String {
    let mut source = band.source.clone();
    if is_smaller {
        let rule = facts()
            .rules
            .get("jar-smaller")
            .expect("the rule is checked when read");
        source.push_str("; half-pint by the rule jar-smaller, a smaller jar uses the pint's time");
        source.push_str(&format!(" ({})", rule.source));
    }
    if let Some(note) = &band.note {
        source.push_str(&format!("; note: {note}"));
    }
    source
}

fn each_once<Term: Ord>(tables: &[&Table], term: impl Fn(&Table) -> Term) -> Vec<Term> {
    let mut terms: Vec<_> = tables.iter().map(|table| term(table)).collect();
    terms.sort();
    terms.dedup();
    terms
}
