//! Which file of the library takes something from which: its `use` lines and paths, read as text.
//!
//! A path is followed through `pub use` to the file that holds what it names. Tests inside a file are left out, and so
//! is a `pub use` by itself: it passes on and needs nothing.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// A module's path below the crate: `["weather", "mend"]`.
pub(super) type Module = Vec<String>;

/// One file of the library.
struct Source {
    file: String,
    /// Its text without remarks and tests.
    text: String,
    /// What its `use` lines bring in: the name here, the path as written, whether it is passed on.
    uses: Vec<(String, Vec<String>, bool)>,
}

/// The files of the library and the arrows between them.
pub(super) struct Arrows {
    sources: BTreeMap<Module, Source>,
    /// From file to file, both below `src`.
    pub all: BTreeSet<(String, String)>,
}

impl Arrows {
    /// Of all files in this folder.
    pub(super) fn of(root: &Path, files: &[PathBuf]) -> Self {
        let mut sources = BTreeMap::new();
        for path in files {
            let file = path.strip_prefix(root).expect("below src").to_string_lossy().into_owned();
            if file == "main.rs" || file.ends_with("tests.rs") || file.ends_with("writings.rs") {
                continue;
            }
            let text = plain(&fs::read_to_string(path).expect("a source"));
            let uses = uses_of(&text);
            sources.insert(module_of(&file), Source { file, text, uses });
        }
        let mut arrows = Self { sources, all: BTreeSet::new() };
        let mut all = BTreeSet::new();
        for (module, source) in &arrows.sources {
            let used = source.uses.iter().filter(|(_, _, passed_on)| !passed_on);
            let paths = used.map(|(_, path, _)| path.clone()).chain(arrows.paths_in(module, source));
            for target in paths.filter_map(|path| arrows.holder(module, &path, 0)) {
                if target != *module {
                    all.insert((source.file.clone(), arrows.sources[&target].file.clone()));
                }
            }
        }
        arrows.all = all;
        arrows
    }

    /// Paths in the code itself: `crate::a::b`, `super::b`, and `child::b` in the file that holds the child.
    fn paths_in(&self, module: &Module, source: &Source) -> Vec<Vec<String>> {
        let code: String = statements(&source.text).1;
        let is_word = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
        let words = code.split(|c: char| !is_word(c)).filter(|word| word.contains("::"));
        let paths = words.map(|word| word.split("::").filter(|part| !part.is_empty()).map(str::to_owned).collect());
        let starts = |path: &Vec<String>| {
            path.first().is_some_and(|first| {
                ["crate", "super", "self"].contains(&first.as_str()) || self.is_child(module, first)
            })
        };
        paths.filter(starts).collect()
    }

    fn is_child(&self, module: &Module, name: &str) -> bool {
        let child: Module = module.iter().cloned().chain([name.to_owned()]).collect();
        self.sources.contains_key(&child)
    }

    /// The module that holds what this path names, seen from a module; `None` outside the crate.
    fn holder(&self, from: &Module, path: &[String], depth: usize) -> Option<Module> {
        let mut rest = path;
        let mut at: Module = match rest.first()?.as_str() {
            "crate" => Vec::new(),
            "self" | "super" => from.clone(),
            child if self.is_child(from, child) => from.clone(),
            _ => return None,
        };
        while let Some(first) = rest.first() {
            match first.as_str() {
                "crate" | "self" => {}
                "super" => drop(at.pop()),
                _ => break,
            }
            rest = &rest[1..];
        }
        while let Some(first) = rest.first().filter(|name| self.is_child(&at, name)) {
            at.push(first.clone());
            rest = &rest[1..];
        }
        // A module within a file has no file of its own.
        let source = self.sources.get(&at)?;
        let passed_on = rest.first().and_then(|name| {
            let known = source.uses.iter().find(|(known, _, _)| known == name);
            known.filter(|_| depth < 8).map(|(_, path, _)| path)
        });
        match passed_on {
            Some(path) => self.holder(&at, path, depth + 1).or(Some(at)),
            None => Some(at),
        }
    }

    /// Files that know each other in a circle, each circle in order of name.
    pub(super) fn circles(&self) -> Vec<BTreeSet<String>> {
        let files: BTreeSet<&String> = self.all.iter().flat_map(|(from, to)| [from, to]).collect();
        let reach: BTreeMap<&String, BTreeSet<&String>> =
            files.iter().map(|file| (*file, self.reached_from(file))).collect();
        let mut circles: Vec<BTreeSet<String>> = Vec::new();
        for file in &files {
            let back = |other: &&&String| reach[*file].contains(*other) && reach[**other].contains(file);
            let circle: BTreeSet<String> = files.iter().filter(back).map(|f| (*f).clone()).collect();
            if circle.len() > 1 && !circles.contains(&circle) {
                circles.push(circle);
            }
        }
        circles
    }

    fn reached_from(&self, file: &str) -> BTreeSet<&String> {
        let mut reached = BTreeSet::new();
        let mut open = vec![file];
        while let Some(from) = open.pop() {
            for (_, to) in self.all.iter().filter(|(start, _)| start == from) {
                if reached.insert(to) {
                    open.push(to);
                }
            }
        }
        reached
    }
}

/// `weather/mod.rs` and `weather.rs` hold the module `weather`.
fn module_of(file: &str) -> Module {
    let path = file.trim_end_matches(".rs");
    let path = path.strip_suffix("/mod").unwrap_or(path);
    if path == "lib" { Vec::new() } else { path.split('/').map(str::to_owned).collect() }
}

/// The text without remarks, without what follows the tests' mark, and without paths that only say who may see.
fn plain(text: &str) -> String {
    let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or("");
    let mut plain = String::new();
    for line in code.lines() {
        let mut line = line.split("//").next().unwrap_or("");
        while let Some((before, after)) = line.split_once("pub(in ") {
            plain.push_str(before);
            line = after.split_once(')').map_or("", |(_, rest)| rest);
        }
        plain.push_str(line);
        plain.push('\n');
    }
    plain
}

/// `use` statements, and the code without them.
fn statements(text: &str) -> (Vec<String>, String) {
    let (mut uses, mut code) = (Vec::new(), String::new());
    let mut open: Option<String> = None;
    for line in text.lines() {
        let words = line.trim_start().trim_start_matches("pub").trim_start();
        let words = if words.starts_with('(') {
            words.split_once(')').map_or("", |(_, rest)| rest.trim_start())
        } else {
            words
        };
        if open.is_none() && words.starts_with("use ") {
            open = Some(String::new());
        }
        let Some(statement) = &mut open else {
            code.push_str(line);
            code.push('\n');
            continue;
        };
        statement.push_str(line.trim());
        if line.trim_end().ends_with(';') {
            uses.extend(open.take());
        }
    }
    (uses, code)
}

fn uses_of(text: &str) -> Vec<(String, Vec<String>, bool)> {
    let mut found = Vec::new();
    for statement in statements(text).0 {
        let (head, tree) = statement.split_once("use ").expect("a use");
        let passed_on = head.contains("pub");
        for path in expanded(tree.trim_end_matches(';')) {
            let (path, name) = match path.split_once(" as ") {
                Some((path, name)) => (path.to_owned(), name.to_owned()),
                None => (path.clone(), path.rsplit("::").next().unwrap_or("").to_owned()),
            };
            let mut parts: Vec<String> = path.split("::").map(|part| part.trim().to_owned()).collect();
            // `use a::{self}` names `a`.
            if parts.len() > 1 && parts.last().is_some_and(|last| last == "self") {
                parts.pop();
            }
            let name = if name == "self" { parts.last().cloned().unwrap_or_default() } else { name };
            found.push((name, parts, passed_on));
        }
    }
    found
}

/// `a::{b, c::{d, e}}` as `a::b`, `a::c::d`, `a::c::e`.
fn expanded(tree: &str) -> Vec<String> {
    let Some(open) = tree.find('{') else {
        return vec![tree.trim().to_owned()];
    };
    let (head, inner) = (tree[..open].trim(), &tree[open + 1..tree.rfind('}').unwrap_or(tree.len())]);
    let (mut parts, mut depth, mut start) = (Vec::new(), 0, 0);
    for (at, letter) in inner.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&inner[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&inner[start..]);
    let parts = parts.into_iter().filter(|part| !part.trim().is_empty());
    parts.flat_map(expanded).map(|part| format!("{head}{part}")).collect()
}

#[test]
fn use_lines_are_taken_apart() {
    assert_eq!(expanded("a::{b, c::{d, e}}"), ["a::b", "a::c::d", "a::c::e"]);
    let text = "pub(crate) use super::x::Y;\nuse crate::a::{\n    self, B as C,\n};\nlet z = super::w();\n";
    let uses = uses_of(text);
    assert_eq!(uses[0].0, "Y");
    assert!(uses[0].2 && !uses[1].2);
    assert_eq!((uses[1].0.as_str(), uses[1].1.join("::")), ("a", "crate::a".to_owned()));
    assert_eq!((uses[2].0.as_str(), uses[2].1.join("::")), ("C", "crate::a::B".to_owned()));
    assert_eq!(statements(text).1, "let z = super::w();\n");
}
