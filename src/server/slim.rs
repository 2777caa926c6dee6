//! A script or a style as a browser needs it: without the lines that are nothing but comment, and a
//! style with the styles it imports in their place, so that a phone fetches one file and no prose.
//!
//! What it keeps true: a line that has anything else in it is left as it is. A line of a text in
//! backquotes would be taken for a comment if it began like one; no file under `web/` has such a line.

/// Without lines that are all comment and without empty lines.
pub fn slim(text: &str) -> String {
    let mut kept = String::with_capacity(text.len());
    let mut within = false;
    for line in text.lines() {
        let bare = line.trim();
        if within {
            within = !bare.ends_with("*/");
            continue;
        }
        let ends = bare.find("*/");
        let alone = ends.is_none_or(|at| at + 2 == bare.len());
        if bare.starts_with("/*") && alone {
            within = ends.is_none();
            continue;
        }
        if bare.is_empty() || bare.starts_with("//") {
            continue;
        }
        kept.push_str(line);
        kept.push('\n');
    }
    kept
}

/// A style with each `@import './other.css';` that stands on a line of its own replaced by what `of`
/// gives for `other.css`; what it does not know is left to the browser.
pub fn whole_style(text: &str, of: impl Fn(&str) -> Option<String>) -> String {
    let one = |line: &str| {
        let name = line.strip_prefix("@import './")?.strip_suffix("';")?;
        of(name)
    };
    text.lines()
        .map(|line| one(line).unwrap_or_else(|| format!("{line}\n")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_that_are_all_comment_go_and_all_others_stay() {
        let script = "// head\n\nimport { a } from './a.js'; // why\n\n/**\n * What it does.\n * More.\n */\nexport const b = a * 2;\n  /* one line */\nconst c = 'http://x';\n/* kept */ const d = 1;\n  * not_a_comment\n";
        assert_eq!(
            slim(script),
            "import { a } from './a.js'; // why\nexport const b = a * 2;\nconst c = 'http://x';\n/* kept */ const d = 1;\n  * not_a_comment\n"
        );
    }

    #[test]
    fn imported_styles_stand_in_their_place() {
        let known = |name: &str| (name == "a.css").then(|| ".a {}\n".to_owned());
        assert_eq!(
            whole_style("@import './a.css';\n@import './b.css';\n.c {}", known),
            ".a {}\n@import './b.css';\n.c {}\n"
        );
    }
}
