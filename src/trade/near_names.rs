//! Names that exist and look like one that does not.
//!
//! For the text of a refusal only. Never for choosing a product: nothing is looked up by a near
//! name. Invariant: the same question gives the same names in the same order.

use super::product_sheet::Product;

/// Names of products that share a word's beginning with the one asked for, or differ by a slip of
/// two letters; in the order of the sheet.
pub(super) fn near_names(asked: &str, products: &[Product]) -> Vec<String> {
    let is_near = |name: &String| shares_a_word(asked, name) || slips(asked, name) <= 2;
    products
        .iter()
        .filter(|product| is_near(&product.name) || product.aliases.iter().any(is_near))
        .map(|product| product.name.clone())
        .collect()
}

fn shares_a_word(one: &str, other: &str) -> bool {
    let beginnings = |name: &str| -> Vec<String> {
        let words = name.split(' ').filter(|word| word.chars().count() > 3);
        words.map(|word| word.chars().take(4).collect()).collect()
    };
    let other = beginnings(other);
    beginnings(one)
        .iter()
        .any(|beginning| other.contains(beginning))
}

/// How many letters must be put in, left out or changed to turn one name into the other.
fn slips(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (index, letter) in one.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = index + 1;
        for (column, candidate) in other.iter().enumerate() {
            let changed = diagonal + usize::from(letter != *candidate);
            diagonal = row[column + 1];
            row[column + 1] = changed.min(diagonal + 1).min(row[column] + 1);
        }
    }
    row[other.len()]
}
