//! The ranked needs of a preserving day that the rules answer, each by its number.

mod flow;
mod heat;
mod people;
mod things;
