//! What a browser says it is, shortened to two names: its make and what it runs on. Only so that the
//! lead tells one device in the list from another; nothing is decided by it.

/// The make of a browser and what it runs on; empty where that is not known.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Agent {
    /// Such as `Firefox`.
    pub browser: &'static str,
    /// Such as `Android`.
    pub system: &'static str,
}

/// Marks in the order in which they decide: most browsers also claim to be others.
const BROWSERS: [(&str, &str); 9] = [
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser/", "Samsung Internet"),
    ("FxiOS/", "Firefox"),
    ("Firefox/", "Firefox"),
    ("CriOS/", "Chrome"),
    ("Chromium/", "Chromium"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
];
const SYSTEMS: [(&str, &str); 7] = [
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("CrOS", "ChromeOS"),
    ("Windows", "Windows"),
    ("Mac OS X", "macOS"),
    ("Linux", "Linux"),
];

impl Agent {
    /// Reads the header by which browsers describe themselves.
    pub fn read(header: &str) -> Agent {
        let named = |marks: &[(&str, &'static str)]| {
            let found = marks.iter().find(|(mark, _)| header.contains(mark));
            found.map_or("", |(_, name)| *name)
        };
        Agent {
            browser: named(&BROWSERS),
            system: named(&SYSTEMS),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn browsers_are_told_apart_though_they_claim_to_be_each_other() {
        let cases = [
            (
                "Mozilla/5.0 (Android 14; Mobile; rv:128.0) Gecko/128.0 Firefox/128.0",
                ("Firefox", "Android"),
            ),
            (
                "Mozilla/5.0 (iPad; CPU OS 17_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) \
                 Version/17.5 Mobile/15E148 Safari/604.1",
                ("Safari", "iPad"),
            ),
            (
                "Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) \
                 Chrome/126.0.0.0 Safari/537.36",
                ("Chrome", "Linux"),
            ),
            (
                "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) \
                 Chrome/126.0.0.0 Safari/537.36 Edg/126.0.0.0",
                ("Edge", "Windows"),
            ),
            ("curl/8.5.0", ("", "")),
            ("", ("", "")),
        ];
        for (header, (browser, system)) in cases {
            assert_eq!(Agent::read(header), Agent { browser, system }, "{header}");
        }
    }
}
