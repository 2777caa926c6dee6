//! A guard before the WebSocket library: a frame that is too long is refused by its header.
//!
//! The library looks at a frame's length only when all of it has arrived, so a device could make
//! the server keep as much as it likes to announce. Only lengths are read here (RFC 6455, section
//! 5.2); everything else about a frame is the library's. It could go once the library refuses by
//! the header itself.

use super::problem::Problem;
use actix_web::error::PayloadError;
use actix_web::{FromRequest, HttpRequest, dev, web};
use bytes::Bytes;
use futures_util::{Stream, StreamExt};

/// The same payload, ending with an overflow at the first frame longer than `bytes_max`.
///
/// # Errors
/// Never in practice: the payload is wrapped, not read.
pub async fn guarded(
    request: &HttpRequest,
    payload: web::Payload,
    bytes_max: usize,
) -> Result<web::Payload, Problem> {
    let mut lengths = Lengths::up_to(bytes_max);
    let checked = payload.map(move |chunk| {
        let chunk = chunk?;
        lengths.pass(&chunk).map(|()| chunk)
    });
    let checked: std::pin::Pin<Box<dyn Stream<Item = Result<Bytes, PayloadError>>>> =
        Box::pin(checked);
    let mut payload = dev::Payload::from(checked);
    web::Payload::from_request(request, &mut payload)
        .await
        .map_err(Problem::internal)
}

/// Where in a stream of frames we are.
struct Lengths {
    bytes_max: u64,
    /// The header so far.
    header: Vec<u8>,
    /// What is left of the frame after its header.
    left: u64,
}

impl Lengths {
    fn up_to(bytes_max: usize) -> Lengths {
        Lengths {
            bytes_max: bytes_max as u64,
            header: Vec::new(),
            left: 0,
        }
    }

    fn pass(&mut self, mut chunk: &[u8]) -> Result<(), PayloadError> {
        while let Some((&byte, rest)) = chunk.split_first() {
            if self.left > 0 {
                let skip = usize::try_from(self.left).map_or(chunk.len(), |l| l.min(chunk.len()));
                self.left -= skip as u64;
                chunk = &chunk[skip..];
                continue;
            }
            self.header.push(byte);
            chunk = rest;
            let Some(length) = payload_length(&self.header) else {
                continue;
            };
            if length > self.bytes_max {
                return Err(PayloadError::Overflow);
            }
            self.header.clear();
            self.left = length;
        }
        Ok(())
    }
}

/// The length of the payload, once the header is whole.
fn payload_length(header: &[u8]) -> Option<u64> {
    let second = *header.get(1)?;
    let mask = if second & 0x80 == 0 { 0 } else { 4 };
    let (extended, short) = match second & 0x7f {
        127 => (8, 0),
        126 => (2, 0),
        short => (0, u64::from(short)),
    };
    if header.len() < 2 + extended + mask {
        return None;
    }
    let long = header[2..2 + extended].iter();
    Some(long.fold(short, |length, &byte| (length << 8) | u64::from(byte)))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const FRAME_BYTES_MAX: usize = 16 * 1024;

    /// A masked frame of a payload of `length` bytes.
    fn frame(length: usize) -> Vec<u8> {
        let mut frame = vec![0x82];
        match length {
            0..=125 => frame.push(0x80 | length as u8),
            126..=0xffff => {
                frame.push(0x80 | 126);
                frame.extend_from_slice(&(length as u16).to_be_bytes());
            }
            _ => {
                frame.push(0x80 | 127);
                frame.extend_from_slice(&(length as u64).to_be_bytes());
            }
        }
        frame.extend_from_slice(&[9; 4]);
        frame.extend(std::iter::repeat_n(0xff, length));
        frame
    }

    #[test]
    fn frames_up_to_the_limit_pass_however_they_are_cut() {
        let frames = [0, 1, 125, 126, 300, FRAME_BYTES_MAX, 0]
            .map(frame)
            .concat();
        for size in [1, 2, 3, 7, 1000, frames.len()] {
            let mut lengths = Lengths::up_to(FRAME_BYTES_MAX);
            let passed = frames.chunks(size).all(|chunk| lengths.pass(chunk).is_ok());
            assert!(passed, "in chunks of {size}");
        }
    }

    #[test]
    fn a_longer_frame_is_refused_by_its_header_alone() {
        for length in [FRAME_BYTES_MAX + 1, 1 << 20, 1 << 33] {
            let mut bytes = frame(70_000);
            bytes[2..10].copy_from_slice(&(length as u64).to_be_bytes());
            let mut lengths = Lengths::up_to(FRAME_BYTES_MAX);
            assert!(lengths.pass(&bytes[..13]).is_ok());
            assert!(lengths.pass(&bytes[13..14]).is_err(), "{length}");
        }
    }
}
