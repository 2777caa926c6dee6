//! A linear programme with its duals.
//!
//! The library gives the optimum and no duals, so the dual programme is written out and solved as
//! well; that both have the same value is the proof that each of them is right.

use super::NoBound;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// The most of `objective * x` with every row kept and no `x` below zero.
#[derive(Debug, Clone, Default)]
pub(super) struct Programme {
    objective: Vec<f64>,
    rows: Vec<Row>,
}

/// `sum of (factor * x)` is at most `most`.
#[derive(Debug, Clone)]
struct Row {
    terms: Vec<(usize, f64)>,
    most: f64,
}

/// An optimum.
#[derive(Debug, Clone)]
pub(super) struct Optimum {
    /// What the objective comes to.
    pub value: f64,
    /// The variables, in the order they were added.
    pub x: Vec<f64>,
    /// For each row how much the objective would gain for one more of its limit.
    pub duals: Vec<f64>,
}

/// The optimum and its proof may differ by so much of their size.
const PROOF: f64 = 1e-6;

impl Programme {
    /// Adds a variable and gives its number.
    pub fn variable(&mut self, worth: f64) -> usize {
        self.objective.push(worth);
        self.objective.len() - 1
    }

    /// Adds a row and gives its number.
    pub fn at_most(&mut self, terms: Vec<(usize, f64)>, most: f64) -> usize {
        self.rows.push(Row { terms, most });
        self.rows.len() - 1
    }

    /// Solves it.
    pub fn solve(&self) -> Result<Optimum, NoBound> {
        let (value, x) = self.primal()?;
        let (proof, duals) = self.dual()?;
        if (value - proof).abs() > PROOF * (1.0 + value.abs()) {
            let words = format!("its optimum {value} is not that of its dual, {proof}");
            return Err(NoBound::Unsolved(words));
        }
        Ok(Optimum { value, x, duals })
    }

    fn primal(&self) -> Result<(f64, Vec<f64>), NoBound> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let add = |worth: &f64| problem.add_var(*worth, (0.0, f64::INFINITY));
        let variables: Vec<Variable> = self.objective.iter().map(add).collect();
        for row in &self.rows {
            let terms: Vec<(Variable, f64)> = row
                .terms
                .iter()
                .map(|(index, factor)| (variables[*index], *factor))
                .collect();
            problem.add_constraint(terms, ComparisonOp::Le, row.most);
        }
        solved(&problem, &variables)
    }

    /// The least of `most * y` with the objective covered by the rows and no `y` below zero.
    fn dual(&self) -> Result<(f64, Vec<f64>), NoBound> {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let add = |row: &Row| problem.add_var(row.most, (0.0, f64::INFINITY));
        let variables: Vec<Variable> = self.rows.iter().map(add).collect();
        let mut columns = vec![Vec::new(); self.objective.len()];
        for (row, variable) in self.rows.iter().zip(&variables) {
            for (index, factor) in &row.terms {
                columns[*index].push((*variable, *factor));
            }
        }
        for (terms, worth) in columns.into_iter().zip(&self.objective) {
            problem.add_constraint(terms, ComparisonOp::Ge, *worth);
        }
        solved(&problem, &variables)
    }
}

fn solved(problem: &Problem, variables: &[Variable]) -> Result<(f64, Vec<f64>), NoBound> {
    let unsolved = |fault: &dyn std::fmt::Display| NoBound::Unsolved(fault.to_string());
    let outcome = problem.solve().map_err(|fault| unsolved(&fault))?;
    let solution = outcome
        .solution()
        .ok_or_else(|| unsolved(&"it was left before the end"))?;
    let values = variables.iter().map(|variable| {
        // Within the library's tolerance a value may lie just below zero.
        solution.var_value(*variable).max(0.0)
    });
    Ok((solution.objective(), values.collect()))
}
