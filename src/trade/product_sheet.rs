//! Product names, their aliases, and the products refused by name.
//!
//! For turning what a person typed into the one name of a product. Not for process times.
//! Invariant: a name or alias belongs to one product or one refusal; matching ignores letter case
//! and extra spaces only, never spelling.

use serde::{Deserialize, Serialize};

use super::faults::Gathered;
use super::sheets::lines;
use super::terms::Confidence;

const PRODUCTS: &str = "products.csv";
const REFUSALS: &str = "refusals.csv";

/// How safe a product is without pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Acidity {
    /// Acid enough by nature (pH 4.6 or below).
    Acid,
    /// Acid enough only with the acid its process or recipe calls for.
    Acidified,
    /// Low-acid: safe from a pressure canner only.
    LowAcid,
}

/// A product with at least one tested process.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Product {
    /// The one name used everywhere.
    pub name: String,
    /// What it is made from; `None` when from several.
    pub produce: Option<String>,
    /// The name in the publication.
    pub published_as: String,
    /// How safe it is without pressure.
    pub acidity: Acidity,
    /// Other names it answers to.
    pub aliases: Vec<String>,
    /// What to mind; `None` when nothing is stated.
    pub caution: Option<String>,
    /// Publication and section.
    pub source: String,
}

/// A product that is refused by name because no tested process exists.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RefusedProduct {
    /// The name it is refused under.
    pub name: String,
    /// Other names it is refused under.
    pub aliases: Vec<String>,
    /// Why there is no process.
    pub why: String,
    /// What to do instead.
    pub instead: String,
    /// Publication and section.
    pub source: String,
}

#[derive(Deserialize)]
struct ProductLine {
    product: String,
    produce: String,
    published_as: String,
    acidity: Acidity,
    aliases: String,
    caution: String,
    source: String,
}

#[derive(Deserialize)]
struct RefusalLine {
    name: String,
    aliases: String,
    why: String,
    instead: String,
    source: String,
    page: String,
    confidence: Confidence,
}

impl Product {
    pub(super) fn is_called(&self, plain: &str) -> bool {
        self.name == plain || self.aliases.iter().any(|alias| alias == plain)
    }
}

impl RefusedProduct {
    pub(super) fn is_called(&self, plain: &str) -> bool {
        self.name == plain || self.aliases.iter().any(|alias| alias == plain)
    }
}

/// A name in lower case with single spaces.
pub(super) fn plain_name(name: &str) -> String {
    name.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase()
}

/// The entries of a cell that lists several, parted by semicolons.
pub(super) fn listed(cell: &str) -> Vec<String> {
    cell.split(';')
        .map(plain_name)
        .filter(|name| !name.is_empty())
        .collect()
}

/// A cell's text, or nothing when it is blank.
pub(super) fn stated(cell: &str) -> Option<String> {
    if cell.is_empty() {
        None
    } else {
        Some(cell.to_string())
    }
}

/// A source and, when there is one, its page.
pub(super) fn source_text(source: &str, page: &str) -> String {
    if page.is_empty() {
        source.to_string()
    } else {
        format!("{source}, {page}")
    }
}

pub(super) fn products(text: &str, faults: &mut Gathered) -> Vec<Product> {
    let heading = "product,produce,published_as,acidity,aliases,caution,source";
    let mut products: Vec<Product> = Vec::new();
    for (line, row) in lines::<ProductLine>(PRODUCTS, text, heading, faults) {
        let product = Product {
            name: row.product,
            produce: stated(&row.produce),
            published_as: row.published_as,
            acidity: row.acidity,
            aliases: listed(&row.aliases),
            caution: stated(&row.caution),
            source: row.source,
        };
        if product.source.is_empty() {
            faults.at(
                PRODUCTS,
                line,
                "has no source; name the publication and section",
            );
        }
        check_names(
            PRODUCTS,
            line,
            &product.name,
            &product.aliases,
            faults,
            |name| products.iter().any(|other| other.is_called(name)),
        );
        products.push(product);
    }
    products
}

pub(super) fn refusals(
    text: &str,
    products: &[Product],
    faults: &mut Gathered,
) -> Vec<RefusedProduct> {
    let heading = "name,aliases,why,instead,source,page,confidence";
    let mut refusals: Vec<RefusedProduct> = Vec::new();
    for (line, row) in lines::<RefusalLine>(REFUSALS, text, heading, faults) {
        if row.source.is_empty() || row.confidence == Confidence::Memory {
            faults.at(REFUSALS, line, "needs a source that was read");
        }
        if row.why.is_empty() || row.instead.is_empty() {
            faults.at(
                REFUSALS,
                line,
                "must say why it is refused and what to do instead",
            );
        }
        let refused = RefusedProduct {
            name: row.name,
            aliases: listed(&row.aliases),
            why: row.why,
            instead: row.instead,
            source: source_text(&row.source, &row.page),
        };
        check_names(
            REFUSALS,
            line,
            &refused.name,
            &refused.aliases,
            faults,
            |name| {
                products.iter().any(|product| product.is_called(name))
                    || refusals.iter().any(|other| other.is_called(name))
            },
        );
        refusals.push(refused);
    }
    refusals
}

fn check_names(
    file: &'static str,
    line: u64,
    name: &str,
    aliases: &[String],
    faults: &mut Gathered,
    taken: impl Fn(&str) -> bool,
) {
    if name.is_empty() || name != plain_name(name) {
        faults.at(file, line, "the name must be lower case with single spaces");
    }
    for each in aliases.iter().map(String::as_str).chain([name]) {
        if taken(each) {
            faults.at(
                file,
                line,
                format!("\"{each}\" is already a name; remove one of them"),
            );
        }
    }
}
