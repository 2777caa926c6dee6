//! The optimum of a [`Programme`], by branch and bound.

use super::greedy::greedy;
use super::options::Choice;
use super::programme::Programme;
use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOptions, Variable};

/// Branches tried before the best way found so far is taken: a number, not a time, so that the same
/// ask always has the same answer.
const NODES_MOST: u64 = 1_500;

/// A way to fill the columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solved {
    /// By column.
    pub found: Vec<i64>,
    /// Whether it is known that there is no better one.
    pub proven: bool,
}

/// Solves a programme.
///
/// # Errors
/// What the solver says; a programme from an ask that was checked has a solution.
pub fn solve(programme: &Programme, choices: &[Choice]) -> Result<Solved, String> {
    let begun = greedy(programme, choices);
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let small = |number: i64| i32::try_from(number).unwrap_or(i32::MAX);
    let variables: Vec<Variable> = programme
        .columns
        .iter()
        .map(|column| {
            let (worth, range) = (column.worth as f64, (column.least, column.most));
            if column.branched {
                problem.add_integer_var(worth, (small(range.0), small(range.1)))
            } else {
                problem.add_var(worth, (range.0 as f64, range.1 as f64))
            }
        })
        .collect();
    for row in &programme.rows {
        let largest = row.terms.iter().map(|(_, factor)| factor.abs()).max();
        let Some(scale) = largest.filter(|largest| *largest > 0) else {
            continue;
        };
        let part = |number: i64| number as f64 / scale as f64;
        let terms: Vec<(Variable, f64)> = row
            .terms
            .iter()
            .map(|(column, factor)| (variables[*column], part(*factor)))
            .collect();
        problem.add_constraint(terms, ComparisonOp::Le, part(row.most));
    }
    let mut options = SolveOptions::default();
    options.node_limit = Some(NODES_MOST);
    let whole = begun.iter().map(|number| *number as f64);
    options.warm_start = Some(variables.iter().copied().zip(whole).collect());
    let outcome = problem.solve_with(options).map_err(|why| why.to_string())?;
    let proven = outcome.is_optimal();
    let searched = outcome.solution().map(|solution| {
        let whole = |variable: &Variable| solution.var_value(*variable).round() as i64;
        variables.iter().map(whole).collect::<Vec<i64>>()
    });
    let found = searched
        .filter(|found| programme.keeps(found))
        .filter(|found| programme.value(found) >= programme.value(&begun));
    match found {
        Some(found) => Ok(Solved { found, proven }),
        None if programme.keeps(&begun) => Ok(Solved {
            found: begun,
            proven: false,
        }),
        None => Err("the way that was found breaks a limit".to_owned()),
    }
}
