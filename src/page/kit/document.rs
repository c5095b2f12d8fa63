//! What every page stands in: no script, no address, nothing to fetch.

use crate::printable::printable;

/// Text made safe inside HTML, SVG and attributes, as the templates make it.
pub(crate) fn escape(text: &str) -> String {
    let mut safe = Vec::with_capacity(text.len());
    // Writing to memory cannot fail.
    let _ = tera::escape_html(text, &mut safe);
    String::from_utf8(safe).unwrap_or_default()
}

/// A page of its own below its heading. Title and style are texts as they are; the body is HTML.
pub(crate) fn document(title: &str, style: &str, body: &str) -> String {
    let title = escape(title);
    // Names that others gave may hold what turns or hides the text around them.
    printable(&format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n\
         <meta name=\"generator\" content=\"{} {}\">\n<title>{title}</title>\n<style>\n{style}</style>\n\
         </head>\n<body>\n<main>\n<h1>{title}</h1>\n{body}</main>\n</body>\n</html>\n",
        env!("CARGO_PKG_NAME"),
        env!("CARGO_PKG_VERSION")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_given_stays_text() {
        let turned = document("A \u{202e}site\u{1b}", "", "");
        assert!(turned.contains("<h1>A \\u202esite\\u001b</h1>"), "{turned}");
        let page = document("A <site> & \"station\"", "", "<p>x</p>\n");
        assert!(page.contains("<h1>A &lt;site&gt; &amp; &quot;station&quot;</h1>\n<p>x</p>\n</main>"));
    }
}
