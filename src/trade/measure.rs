//! Exact small measures written as decimals: inches in 64ths, pounds in hundredths.
//!
//! For reading and showing the decimals of the fact sheets without floating-point drift. Not for
//! arithmetic on a day's amounts. Invariant: a decimal that is not an exact multiple of the unit is
//! refused, never rounded.

/// Reads a decimal as a whole number of `parts`-ths; `None` when it is no exact multiple.
fn parts(text: &str, parts: u64) -> Option<u32> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || !digits(whole) || !digits(fraction) || fraction.len() > 6 {
        return None;
    }
    let scale = 10_u64.pow(u32::try_from(fraction.len()).ok()?);
    let fraction: u64 = if fraction.is_empty() {
        0
    } else {
        fraction.parse().ok()?
    };
    let scaled = whole
        .parse::<u64>()
        .ok()?
        .checked_mul(scale)?
        .checked_add(fraction)?;
    let product = scaled.checked_mul(parts)?;
    if product % scale != 0 {
        return None;
    }
    u32::try_from(product / scale).ok()
}

/// Reads inches such as `0.25` as 64ths of an inch.
pub(super) fn sixty_fourths(text: &str) -> Option<u32> {
    parts(text, 64)
}

/// Reads an amount such as `12.25` as hundredths.
pub(super) fn hundredths(text: &str) -> Option<u32> {
    parts(text, 100)
}

/// Writes 64ths of an inch the way a ruler is read: `1/4`, `1/2`, `1`, `1 1/4`.
pub fn sixty_fourths_text(amount: u32) -> String {
    let (whole, mut over, mut under) = (amount / 64, amount % 64, 64);
    if over == 0 {
        return whole.to_string();
    }
    while over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    if whole == 0 {
        format!("{over}/{under}")
    } else {
        format!("{whole} {over}/{under}")
    }
}

/// Writes hundredths as a plain decimal: `12.25`, `2.5`, `7`.
pub fn hundredths_text(amount: u32) -> String {
    let (whole, rest) = (amount / 100, amount % 100);
    match (rest, rest % 10) {
        (0, _) => whole.to_string(),
        (_, 0) => format!("{whole}.{}", rest / 10),
        (_, _) => format!("{whole}.{rest:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_read_exactly_or_not_at_all() {
        assert_eq!(sixty_fourths("0.25"), Some(16));
        assert_eq!(sixty_fourths("1"), Some(64));
        assert_eq!(sixty_fourths("0.3"), None);
        assert_eq!(hundredths("12.25"), Some(1225));
        assert_eq!(hundredths("2.333"), None);
        for broken in ["", ".", ".5", "-1", "1e3", "1.2.3", "one", "0.1234567"] {
            assert_eq!(hundredths(broken), None, "{broken}");
        }
    }

    #[test]
    fn measures_are_written_as_a_cook_reads_them() {
        assert_eq!(sixty_fourths_text(16), "1/4");
        assert_eq!(sixty_fourths_text(64), "1");
        assert_eq!(sixty_fourths_text(80), "1 1/4");
        assert_eq!(hundredths_text(1225), "12.25");
        assert_eq!(hundredths_text(1750), "17.5");
        assert_eq!(hundredths_text(700), "7");
        assert_eq!(hundredths_text(205), "2.05");
    }
}
