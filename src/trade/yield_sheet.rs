//! Published yields and produce by the container.
//!
//! For planning how much fruit makes how many jars. Not a promise: own logs replace it. Invariant:
//! pounds are whole hundredths, low never exceeds high, and every row has its source.

use serde::{Deserialize, Serialize};

use super::faults::Gathered;
use super::measure::hundredths;
use super::product_sheet::{Product, listed, source_text, stated};
use super::sheets::lines;
use super::terms::Confidence;

const YIELDS: &str = "yields.csv";
const PRODUCE: &str = "produce.csv";

/// One published yield. All amounts are in hundredths (1250 = 12.5).
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Yield {
    /// The produce.
    pub produce: String,
    /// The product here; `None` when it has no tested process here.
    pub product: Option<String>,
    /// The product as the publication calls it.
    pub published_as: String,
    /// Whether the yield is of frozen packages rather than canned jars.
    pub frozen: bool,
    /// Pounds for a canner load of 7 quarts, in hundredths.
    pub pounds_per_7_quarts: Option<u32>,
    /// Pounds for a canner load of 9 pints, in hundredths.
    pub pounds_per_9_pints: Option<u32>,
    /// Pounds per quart, low and high, in hundredths.
    pub pounds_per_quart: Option<(u32, u32)>,
    /// The container it is sold in.
    pub container: Option<String>,
    /// Pounds in the container, in hundredths.
    pub pounds_per_container: Option<u32>,
    /// Quarts from the container, low and high, in hundredths.
    pub quarts_per_container: Option<(u32, u32)>,
    /// Publication and section.
    pub source: String,
    /// Whether the source was read.
    pub confidence: Confidence,
    /// What the publication adds.
    pub note: Option<String>,
}

/// Produce as it comes in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Produce {
    /// Its name.
    pub name: String,
    /// The products here that are made of it.
    pub products: Vec<String>,
    /// The container it is sold in.
    pub container: Option<String>,
    /// Pounds in the container, in hundredths.
    pub pounds_per_container: Option<u32>,
    /// What darkens when cut (`yes`, `stem end`); `None` when nothing is stated.
    pub darkens: Option<String>,
    /// Publication and section of the container's weight.
    pub source: String,
    /// Publication and section of the darkening.
    pub darkens_source: Option<String>,
    /// Whether the sources were read.
    pub confidence: Confidence,
}

#[derive(Deserialize)]
struct YieldLine {
    produce: String,
    product: String,
    published_as: String,
    keep: String,
    lb_per_7_quart_load: String,
    lb_per_9_pint_load: String,
    lb_per_quart_low: String,
    lb_per_quart_high: String,
    container: String,
    lb_per_container: String,
    quarts_per_container_low: String,
    quarts_per_container_high: String,
    source: String,
    page: String,
    confidence: Confidence,
    note: String,
}

#[derive(Deserialize)]
struct ProduceLine {
    produce: String,
    products: String,
    container: String,
    lb_per_container: String,
    darkens: String,
    source: String,
    darkens_source: String,
    confidence: Confidence,
}

/// Reads amounts of one line and notes what is wrong with them.
struct Amounts<'faults> {
    file: &'static str,
    line: u64,
    faults: &'faults mut Gathered,
}

impl Amounts<'_> {
    fn one(&mut self, cell: &str) -> Option<u32> {
        if cell.is_empty() {
            return None;
        }
        let amount = hundredths(cell).filter(|amount| *amount > 0);
        if amount.is_none() {
            let what = format!("\"{cell}\" must be a number above 0 with two decimals at most");
            self.faults.at(self.file, self.line, what);
        }
        amount
    }

    fn pair(&mut self, low: &str, high: &str) -> Option<(u32, u32)> {
        match (self.one(low), self.one(high)) {
            (Some(low), Some(high)) if low <= high => Some((low, high)),
            (None, None) => None,
            (Some(_) | None, Some(_) | None) => {
                let what = format!("\"{low}\" to \"{high}\" must be a low and a high amount");
                self.faults.at(self.file, self.line, what);
                None
            }
        }
    }

    fn source(&mut self, source: &str) {
        if source.is_empty() {
            self.faults
                .at(self.file, self.line, "has no source; name the publication");
        }
    }

    fn product(&mut self, name: &str, products: &[Product]) {
        if !products.iter().any(|product| product.name == name) {
            let what = format!("\"{name}\" is no name in products.csv");
            self.faults.at(self.file, self.line, what);
        }
    }
}

pub(super) fn yields(text: &str, products: &[Product], faults: &mut Gathered) -> Vec<Yield> {
    let heading = "produce,product,published_as,keep,lb_per_7_quart_load,lb_per_9_pint_load,\
        lb_per_quart_low,lb_per_quart_high,container,lb_per_container,\
        quarts_per_container_low,quarts_per_container_high,source,page,confidence,note";
    let mut yields = Vec::new();
    for (line, row) in lines::<YieldLine>(YIELDS, text, heading, faults) {
        let mut amounts = Amounts {
            file: YIELDS,
            line,
            faults,
        };
        amounts.source(&row.source);
        if !row.product.is_empty() {
            amounts.product(&row.product, products);
        }
        if row.keep != "canned" && row.keep != "frozen" {
            amounts
                .faults
                .at(YIELDS, line, "keep must be canned or frozen");
        }
        yields.push(Yield {
            pounds_per_7_quarts: amounts.one(&row.lb_per_7_quart_load),
            pounds_per_9_pints: amounts.one(&row.lb_per_9_pint_load),
            pounds_per_quart: amounts.pair(&row.lb_per_quart_low, &row.lb_per_quart_high),
            pounds_per_container: amounts.one(&row.lb_per_container),
            quarts_per_container: amounts.pair(
                &row.quarts_per_container_low,
                &row.quarts_per_container_high,
            ),
            produce: row.produce,
            product: stated(&row.product),
            published_as: row.published_as,
            frozen: row.keep == "frozen",
            container: stated(&row.container),
            source: source_text(&row.source, &row.page),
            confidence: row.confidence,
            note: stated(&row.note),
        });
    }
    yields
}

pub(super) fn produce(text: &str, products: &[Product], faults: &mut Gathered) -> Vec<Produce> {
    let heading =
        "produce,products,container,lb_per_container,darkens,source,darkens_source,confidence";
    let mut produce = Vec::new();
    for (line, row) in lines::<ProduceLine>(PRODUCE, text, heading, faults) {
        let mut amounts = Amounts {
            file: PRODUCE,
            line,
            faults,
        };
        amounts.source(&row.source);
        let made = listed(&row.products);
        for name in &made {
            amounts.product(name, products);
        }
        if row.darkens.is_empty() != row.darkens_source.is_empty() {
            amounts
                .faults
                .at(PRODUCE, line, "darkens and darkens_source go together");
        }
        produce.push(Produce {
            pounds_per_container: amounts.one(&row.lb_per_container),
            name: row.produce,
            products: made,
            container: stated(&row.container),
            darkens: stated(&row.darkens),
            source: row.source,
            darkens_source: stated(&row.darkens_source),
            confidence: row.confidence,
        });
    }
    produce
}
