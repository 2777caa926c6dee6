//! The shelf as a table for a spreadsheet: a row for each lot at each place.
//!
//! Invariant: no cell begins a formula; a name that would is written with an apostrophe before it.

use super::view::{LotOnShelf, ProductOnShelf, ShelfView};
use crate::trace::Package;

const HEAD: [&str; 11] = [
    "product", "package", "place", "packages", "lot", "load", "fruit", "date", "best by", "day",
    "recalled",
];

/// The table as CSV (RFC 4180, with a header row).
pub fn csv(shelf: &ShelfView) -> String {
    let mut out = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let rows = shelf
        .products
        .iter()
        .flat_map(|product| product.lots.iter().map(move |lot| row(product, lot)));
    let head = HEAD.map(str::to_owned);
    for row in std::iter::once(head).chain(rows) {
        out.write_record(&row)
            .expect("a row of strings is written to memory");
    }
    let bytes = out.into_inner().expect("memory is not full");
    String::from_utf8(bytes).expect("it was written from text")
}

fn row(product: &ProductOnShelf, lot: &LotOnShelf) -> [String; 11] {
    [
        plain(&product.name),
        package_words(&product.package),
        lot.place.words().to_owned(),
        lot.left.to_string(),
        lot.lot.code.to_string(),
        lot.batch.to_string(),
        plain(&lot.lot_name),
        lot.date.clone(),
        lot.best_by.clone().unwrap_or_default(),
        lot.lot.day.to_string(),
        if lot.recalled { "yes" } else { "" }.to_owned(),
    ]
}

fn package_words(package: &Package) -> String {
    match (package.jar, package.holds) {
        (Some(jar), _) => format!("{} jar", jar.word()),
        (None, Some(holds)) => {
            let (amount, unit) = (holds.amount, holds.measure.symbol());
            format!("{} of {amount} {unit}", package.measure.symbol())
        }
        (None, None) => package.measure.symbol().to_owned(),
    }
}

fn plain(name: &str) -> String {
    if name.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        return format!("'{name}");
    }
    name.to_owned()
}
