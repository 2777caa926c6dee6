//! A WebSocket text frame (RFC 6455, section 5.2), made once and sent to every device as it is.
//!
//! Only for what a server pushes: whole, unmasked. Reading frames is the WebSocket library's.

use bytes::Bytes;

/// Final fragment, opcode 1.
const FINAL_TEXT: u8 = 0x81;

/// One text frame around `text`.
pub(super) fn text_frame(text: &[u8]) -> Bytes {
    let mut frame = Vec::with_capacity(text.len() + 10);
    frame.push(FINAL_TEXT);
    match (u8::try_from(text.len()), u16::try_from(text.len())) {
        (Ok(length @ 0..=125), _) => frame.push(length),
        (_, Ok(length)) => {
            frame.push(126);
            frame.extend_from_slice(&length.to_be_bytes());
        }
        _ => {
            frame.push(127);
            frame.extend_from_slice(&(text.len() as u64).to_be_bytes());
        }
    }
    frame.extend_from_slice(text);
    frame.into()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::text_frame;

    #[test]
    fn each_length_has_its_shortest_form() {
        let head = |length: usize| text_frame(&vec![b'x'; length])[..4].to_vec();
        assert_eq!(head(125)[..2], [0x81, 125]);
        assert_eq!(head(126), [0x81, 126, 0, 126]);
        assert_eq!(head(65_535), [0x81, 126, 0xff, 0xff]);
        assert_eq!(head(65_536)[..2], [0x81, 127]);
        assert_eq!(
            text_frame(&vec![0; 65_536])[2..10],
            [0, 0, 0, 0, 0, 1, 0, 0]
        );
    }
}
