//! Faults found in the fact sheets, told so that the person who keeps them can mend them.
//!
//! For collecting every fault before the program refuses to start. Not for refusals of a lookup.
//! Invariant: a list of faults that reaches a caller is never empty.

use std::fmt;

/// One fault: the file, the line in it (1 is the heading) and what to mend.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// The sheet's file name.
    pub file: &'static str,
    /// The line in the file; `None` when the fault is in no single line.
    pub line: Option<u64>,
    /// What is wrong and what to mend.
    pub what: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(out, "{} line {line}: {}", self.file, self.what),
            None => write!(out, "{}: {}", self.file, self.what),
        }
    }
}

/// Every fault of the fact sheets, in the order of file and line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactFaults(pub(super) Vec<Fault>);

impl FactFaults {
    /// The faults, in the order of file and line.
    pub fn list(&self) -> &[Fault] {
        &self.0
    }
}

impl fmt::Display for FactFaults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "the facts of the trade have {} fault(s); mend them first:",
            self.0.len()
        )?;
        for fault in &self.0 {
            write!(out, "\n  {fault}")?;
        }
        Ok(())
    }
}

impl std::error::Error for FactFaults {}

/// Gathers faults while the sheets are read.
#[derive(Debug, Default)]
pub(super) struct Gathered(Vec<Fault>);

impl Gathered {
    /// Notes a fault in a line of a file.
    pub(super) fn at(&mut self, file: &'static str, line: u64, what: impl Into<String>) {
        self.0.push(Fault {
            file,
            line: Some(line),
            what: what.into(),
        });
    }

    /// Notes a fault of a whole file.
    pub(super) fn file(&mut self, file: &'static str, what: impl Into<String>) {
        self.0.push(Fault {
            file,
            line: None,
            what: what.into(),
        });
    }

    /// The faults as an error, or nothing when there are none.
    pub(super) fn into_error(mut self) -> Option<FactFaults> {
        self.0.sort();
        self.0.dedup();
        if self.0.is_empty() {
            None
        } else {
            Some(FactFaults(self.0))
        }
    }
}
