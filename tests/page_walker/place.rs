//! The words of a page with the place where each stands: in which section, table, row and column, or in which chart.

/// Where words stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// In a cell of a table.
    Cell,
    /// In a sentence, a list, a heading or a caption.
    Said,
    /// In a chart, beside what is drawn.
    Drawn,
    /// At an axis of a chart: a round number of the scale, which no figure holds.
    Tick,
    /// In the key of a chart: limits of its colours.
    Legend,
    /// To be pasted into a study.
    Pasted,
}

/// Some words of the page.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub kind: Kind,
    pub section: String,
    /// Of the table, or of the chart.
    pub caption: String,
    /// Which table of the page, counted from nought, and which of its columns.
    pub table: usize,
    pub column: usize,
    pub head: String,
    /// What the column's or the row's head says that numbers are in; empty where it does not.
    pub unit: String,
    /// The first cell of the row, without what says that it is the baseline.
    pub label: String,
    /// The second cell of the row.
    pub second: String,
    pub text: String,
}

const BLOCKS: [&str; 17] = [
    "p",
    "li",
    "dd",
    "dt",
    "h1",
    "h2",
    "h3",
    "h4",
    "figcaption",
    "summary",
    "pre",
    "div",
    "label",
    "ul",
    "dl",
    "figure",
    "section",
];

fn plain(text: &str) -> String {
    let text = text.replace("&quot;", "\"").replace("&#39;", "'").replace("&#x27;", "'").replace("&#x2F;", "/");
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&").replace('\u{a0}', " ").replace('\u{202f}', "")
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    tag.split(&format!(" {name}=\"")).nth(1)?.split('"').next()
}

/// All words of the page from its first section on.
pub(super) fn places(page: &str) -> Vec<Place> {
    let start = page.find("<section").expect("a section");
    let mut reader = Reader::default();
    for part in page[start..].split('<').skip(1) {
        let (tag, text) = part.split_once('>').unwrap_or((part, ""));
        let name = tag.split(|c: char| c.is_whitespace() || c == '/').find(|word| !word.is_empty()).unwrap_or("");
        if tag.starts_with('/') {
            reader.close(name);
        } else {
            reader.open(name, tag);
        }
        reader.words.push_str(text);
    }
    reader.flush();
    reader.found
}

/// A cell of the row that is being read: its words and its unit.
type Cell = (String, String);

#[derive(Default)]
struct Reader {
    found: Vec<Place>,
    section: String,
    words: String,
    legend: bool,
    pasted: bool,
    chart: Option<String>,
    chart_class: String,
    table: Option<Table>,
    tables: usize,
}

#[derive(Default)]
struct Table {
    caption: String,
    heads: Vec<Cell>,
    in_head: bool,
    row: Vec<Cell>,
    unit: Option<String>,
}

impl Reader {
    fn open(&mut self, name: &str, tag: &str) {
        match name {
            "section" => {
                self.flush();
                let named = attribute(tag, "id").or_else(|| attribute(tag, "aria-label"));
                named.unwrap_or_default().clone_into(&mut self.section);
            }
            "svg" => {
                self.flush();
                self.chart = Some(String::new());
            }
            "text" => {
                self.words.clear();
                attribute(tag, "class").unwrap_or_default().clone_into(&mut self.chart_class);
            }
            "table" => {
                self.flush();
                self.table = Some(Table::default());
            }
            "span" if attribute(tag, "class") == Some("unit") => {
                if let Some(table) = &mut self.table {
                    table.unit = Some(std::mem::take(&mut self.words));
                }
            }
            "caption" | "th" | "td" | "title" | "desc" => self.words.clear(),
            "thead" => self.table.as_mut().expect("a table").in_head = true,
            "tbody" => self.table.as_mut().expect("a table").in_head = false,
            "tr" => self.table.as_mut().expect("a table").row.clear(),
            "ul" if attribute(tag, "class").is_some_and(|class| class.contains("legend") || class.contains("key")) => {
                self.flush();
                self.legend = true;
            }
            "pre" => {
                self.flush();
                self.pasted = true;
            }
            _ if self.table.is_none() && self.chart.is_none() && BLOCKS.contains(&name) => self.flush(),
            _ => {}
        }
    }

    fn close(&mut self, name: &str) {
        match name {
            "title" if self.chart.is_some() => self.chart = Some(plain(&std::mem::take(&mut self.words))),
            "desc" => self.words.clear(),
            "text" => self.drawn(),
            "svg" => {
                self.words.clear();
                self.chart = None;
            }
            "caption" => {
                let words = plain(&std::mem::take(&mut self.words)).trim().to_owned();
                self.table.as_mut().expect("a table").caption.clone_from(&words);
                self.push(Kind::Said, &words);
            }
            "span" => {
                if let Some(table) = &mut self.table
                    && let Some(before) = table.unit.take()
                {
                    let unit = plain(&std::mem::take(&mut self.words)).trim().to_owned();
                    self.words = before;
                    table.row.push((String::new(), unit));
                }
            }
            "th" | "td" => self.cell(),
            "tr" => self.row(),
            "table" => {
                self.words.clear();
                self.table = None;
                self.tables += 1;
            }
            "ul" => {
                self.flush();
                self.legend = false;
            }
            "pre" => {
                self.flush();
                self.pasted = false;
            }
            _ if self.table.is_none() && self.chart.is_none() && BLOCKS.contains(&name) => self.flush(),
            _ => {}
        }
    }

    fn cell(&mut self) {
        let words = plain(&std::mem::take(&mut self.words)).trim().to_owned();
        let table = self.table.as_mut().expect("a table");
        // A unit stands before its cell in the row until the cell ends.
        match table.row.last_mut() {
            Some((text, unit)) if text.is_empty() && !unit.is_empty() => *text = words,
            _ => table.row.push((words, String::new())),
        }
    }

    fn row(&mut self) {
        let table = self.table.as_mut().expect("a table");
        let row = std::mem::take(&mut table.row);
        if table.in_head {
            table.heads = row;
            return;
        }
        let (caption, heads) = (table.caption.clone(), table.heads.clone());
        let label = row.first().map(|cell| cell.0.clone()).unwrap_or_default();
        let label = [" (baseline)", ", recommended", ", next best", ", baseline"]
            .iter()
            .fold(label, |label, said| label.replace(said, ""));
        for (column, (text, unit)) in row.iter().enumerate() {
            let (head, head_unit) = heads.get(column).cloned().unwrap_or_default();
            let of_row = &row[0].1;
            let own = [&head_unit, unit, of_row].into_iter().find(|unit| !unit.is_empty());
            self.found.push(Place {
                kind: Kind::Cell,
                section: self.section.clone(),
                caption: caption.clone(),
                table: self.tables,
                column,
                head,
                unit: own.cloned().unwrap_or_default(),
                label: label.clone(),
                second: row.get(1).map(|cell| cell.0.clone()).unwrap_or_default(),
                text: text.clone(),
            });
        }
    }

    fn drawn(&mut self) {
        let words = plain(&std::mem::take(&mut self.words));
        let is_quiet = self.chart_class.split(' ').next() == Some("q");
        let is_number =
            !words.trim().is_empty() && words.trim().chars().all(|c| c.is_ascii_digit() || ".:−- ".contains(c));
        self.push(if is_quiet && is_number { Kind::Tick } else { Kind::Drawn }, &words);
    }

    fn flush(&mut self) {
        let words = plain(&std::mem::take(&mut self.words));
        let words = if self.pasted { words } else { words.split_whitespace().collect::<Vec<_>>().join(" ") };
        if !words.trim().is_empty() {
            let kind = match (self.legend, self.pasted) {
                (true, _) => Kind::Legend,
                (_, true) => Kind::Pasted,
                (false, false) => Kind::Said,
            };
            self.push(kind, words.trim());
        }
    }

    fn push(&mut self, kind: Kind, text: &str) {
        self.found.push(Place {
            kind,
            section: self.section.clone(),
            caption: self.chart.clone().unwrap_or_default(),
            table: self.tables,
            column: 0,
            head: String::new(),
            unit: String::new(),
            label: String::new(),
            second: String::new(),
            text: text.to_owned(),
        });
    }
}
