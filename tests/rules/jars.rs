//! Jars from filling to the shelf: what is tested, confirmed, fresh, hot, cooled and sealed.

mod clock;
mod confirmed;
mod fresh;
mod mixed;
mod pressure;
mod seals;
mod short;
mod shown;
mod tested;
