//! The whole program from outside: a real server on a free port, spoken to only by HTTP and
//! WebSocket. One binary, so that it is linked once.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod assets; // the pages, their types and what they may load
mod attacks; // what strangers, neighbours and foreign pages can try
mod carry;
mod commands; // one order and its answers
mod copies; // of the journal: made, checked, put back
mod foods;
mod health; // how the board does, and what its log tells
mod holders; // which device stands for whom
mod last_seat; // two hands reaching for one chair
mod learned; // what closed days taught
mod limits; // how much may be asked
mod live; // what devices see, and when
mod look_back; // the figures of a day
mod malformed; // whatever else can be sent
mod next_day; // the list to gather, the calendar
mod one_tap; // however often it is sent
mod openapi; // the API as it describes itself, and what does not fit it
mod outlook; // what is to come
mod prepare; // what to make
mod program; // the program itself, started and stopped
mod random_frames; // bits that no library sends
mod restart; // what is left after a stop
mod roles; // who may do what
mod season; // three days and four months
mod shelf; // what became of what was put by
mod support;
