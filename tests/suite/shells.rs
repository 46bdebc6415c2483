//! `nameplate completions` and `nameplate man`, as the shells and `man` themselves take them.
//!
//! A shell that isn't installed is skipped with a word on standard error; in CI, where `NAMEPLATE_ALL` is set,
//! it is a failure. `tests/run` installs them on Debian. Elvish and PowerShell aren't packaged there, so nothing
//! runs their scripts.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

fn nameplate(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .output()
        .unwrap()
}

/// Whether there is such a program; in CI there has to be.
#[allow(
    clippy::print_stderr,
    reason = "whoever runs the tests is to know what was skipped"
)]
fn is_here(program: &str) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let found = std::env::split_paths(&path).any(|folder| folder.join(program).is_file());
    if !found {
        assert!(
            std::env::var_os("NAMEPLATE_ALL").is_none(),
            "{program} isn't installed, and nothing may be skipped here"
        );
        eprintln!("NOT CHECKED: {program} isn't installed");
    }
    found
}

/// A folder that holds the script of a shell under `name`.
fn script(shell: &str, name: &str) -> TempDir {
    let output = nameplate(&["completions", shell]);
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(output.stderr, b"");
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(name), output.stdout).unwrap();
    folder
}

/// What a shell prints that runs `commands` in a folder, without anybody's settings.
fn said(program: &str, options: &[&str], commands: &str, folder: &Path) -> String {
    let output = Command::new(program)
        .args(options)
        .args(["-c", commands])
        .current_dir(folder)
        .env("HOME", folder)
        .env("XDG_CONFIG_HOME", folder)
        .env("XDG_DATA_HOME", folder)
        .env("TERM", "dumb")
        .output()
        .unwrap();
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program}: {errors}");
    assert_eq!(errors, "", "{program}");
    String::from_utf8(output.stdout).unwrap()
}

/// Lines typed, and what they must and mustn't be completed to.
const TYPED: [(&str, &[&str], &[&str]); 4] = [
    ("nameplate ", &["audit", "guide", "new"], &["read-pages"]),
    ("nameplate au", &["audit"], &["amend"]),
    (
        "nameplate audit --re",
        &["--reject-at", "--record"],
        &["--color"],
    ),
    ("nameplate audit --reject-at w", &["warning"], &["error"]),
];

/// Holds what `complete` makes of each line to the table.
fn hold(complete: impl Fn(&str) -> String) {
    for (typed, there, not_there) in TYPED {
        let offered = complete(typed);
        let words: Vec<&str> = offered.split_whitespace().collect();
        for word in there {
            assert!(words.contains(word), "{typed}: {offered}");
        }
        for word in not_there {
            assert!(!words.contains(word), "{typed}: {offered}");
        }
    }
}

#[test]
fn bash_completes_with_its_script() {
    if !is_here("bash") {
        return;
    }
    let folder = script("bash", "nameplate");
    hold(|typed| {
        let words: Vec<String> = typed.split(' ').map(|word| format!("'{word}'")).collect();
        let at = words.len() - 1;
        let (last, before) = (&words[at], &words[at - 1]);
        let commands = format!(
            "source ./nameplate; COMP_WORDS=({}); COMP_CWORD={at}; \
             f=$(complete -p nameplate | sed 's/.*-F \\([^ ]*\\).*/\\1/'); \
             \"$f\" nameplate {last} {before}; printf '%s\\n' \"${{COMPREPLY[@]}}\"",
            words.join(" ")
        );
        said("bash", &["--noprofile", "--norc"], &commands, folder.path())
    });
}

#[test]
fn fish_completes_with_its_script() {
    if !is_here("fish") {
        return;
    }
    let folder = script("fish", "nameplate.fish");
    hold(|typed| {
        let commands = format!("source ./nameplate.fish; complete -C '{typed}'");
        let said = said("fish", &["--no-config"], &commands, folder.path());
        // Behind the word stands, after a tab, what it means.
        let words = said.lines().filter_map(|line| line.split('\t').next());
        words.collect::<Vec<_>>().join("\n")
    });
}

/// Zsh completes only on a terminal, so one zsh types into another.
const TYPE_INTO_ZSH: &str = r#"
zmodload zsh/zpty
zpty -b inner zsh -f -i
# Reads until the mark, which the inner shell is asked to show, has come, and not for ever.
await() {
  local all piece
  repeat 600; do
    if zpty -r -t inner piece; then all+=$piece; else sleep 0.05; fi
    [[ $all == *$1* ]] && break
  done
  print -r -- "$all"
}
zpty -w inner "PS1=; unsetopt zle_bracketed_paste; fpath=($PWD \$fpath); autoload -Uz compinit; compinit -u -D; zstyle ':completion:*' list-prompt ''; LISTMAX=0; stty cols 500 rows 200; print REA''DY"
await READY >/dev/null
# What would be inserted is kept in a file, whatever the list looks like.
zpty -w inner "compadd() { local -a all; builtin compadd -O all \"\$@\"; print -rl -- \$all >> offered; builtin compadd \"\$@\"; }; print REA''DY2"
await READY2 >/dev/null
zpty -n -w inner "$1"$'\t'
sleep 1
zpty -n -w inner $'\x15'
zpty -w inner "print DO''NE"
await DONE >/dev/null
zpty -d inner
cat offered
"#;

#[test]
fn zsh_completes_with_its_script() {
    if !is_here("zsh") {
        return;
    }
    hold(|typed| {
        let folder = script("zsh", "_nameplate");
        let commands = format!("set -- '{typed}'\n{TYPE_INTO_ZSH}");
        said("zsh", &["-f"], &commands, folder.path())
    });
}

/// Scripts of shells that nothing here runs at least name every command.
#[test]
fn every_script_names_every_command() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let output = nameplate(&["completions", shell]);
        let text = String::from_utf8(output.stdout).unwrap();
        for name in commands() {
            assert!(text.contains(&name), "{shell}: {name}");
        }
        assert!(!text.contains("read-pages"), "{shell}");
    }
    let output = nameplate(&["completions", "cmd"]);
    assert_eq!(output.status.code(), Some(2));
}

/// The commands, as the program's help lists them.
pub fn commands() -> Vec<String> {
    let help = nameplate(&["--help"]);
    let help = String::from_utf8(help.stdout).unwrap();
    let all = help.split("Commands:\n").nth(1).unwrap();
    let lines = all.lines().take_while(|line| !line.is_empty());
    let names = lines.filter_map(|line| {
        let is_name = line.starts_with("  ") && !line.starts_with("   ");
        is_name.then(|| line.split_whitespace().next().unwrap().to_string())
    });
    names.filter(|name| name != "help").collect()
}

fn pages() -> (TempDir, Vec<PathBuf>) {
    let folder = tempfile::tempdir().unwrap();
    let output = nameplate(&["man", folder.path().to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0));
    let entries = std::fs::read_dir(folder.path()).unwrap();
    let mut pages: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    pages.sort();
    (folder, pages)
}

#[test]
fn every_command_has_a_man_page() {
    let (folder, pages) = pages();
    let mut expected: Vec<PathBuf> = commands()
        .iter()
        .map(|name| folder.path().join(format!("nameplate-{name}.1")))
        .chain([folder.path().join("nameplate.1")])
        .collect();
    expected.sort();
    assert_eq!(pages, expected);
    // Written again it is the same, a folder that isn't there is made, and none is made of a file.
    let before: Vec<Vec<u8>> = pages
        .iter()
        .map(|page| std::fs::read(page).unwrap())
        .collect();
    let again = nameplate(&["man", folder.path().to_str().unwrap()]);
    assert_eq!(again.status.code(), Some(0));
    let after: Vec<Vec<u8>> = pages
        .iter()
        .map(|page| std::fs::read(page).unwrap())
        .collect();
    assert_eq!(before, after);
    let made = folder.path().join("man/man1");
    let status = nameplate(&["man", made.to_str().unwrap()]).status;
    assert_eq!(status.code(), Some(0));
    assert!(made.join("nameplate.1").is_file());
    let refused = nameplate(&["man", pages[0].join("man1").to_str().unwrap()]);
    assert_eq!(refused.status.code(), Some(2));
}

#[test]
fn man_shows_every_page_without_a_warning() {
    if !is_here("man") || !is_here("groff") {
        return;
    }
    let (_folder, pages) = pages();
    for page in &pages {
        let output = Command::new("man")
            .args(["--warnings=all", "--encoding=UTF-8", "--local-file"])
            .arg(page)
            .env("LC_ALL", "C.UTF-8")
            .env("MANWIDTH", "80")
            .env("MANPAGER", "cat")
            .output()
            .unwrap();
        let name = page.file_stem().unwrap().to_str().unwrap();
        assert!(output.status.success(), "{name}");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{name}");
        let text = String::from_utf8(output.stdout).unwrap();
        for heading in ["NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS"] {
            assert!(
                text.lines().any(|line| line == heading),
                "{name}: {heading}\n{text}"
            );
        }
        assert!(
            text.starts_with(&format!("{}(1)", name.to_uppercase())),
            "{text}"
        );
        // The line that `whatis` and `apropos` look for.
        if is_here("lexgrog") {
            let parsed = Command::new("lexgrog").arg(page).output().unwrap();
            let parsed = String::from_utf8(parsed.stdout).unwrap();
            assert!(parsed.contains(&format!("\"{name} - ")), "{parsed}");
        }
    }
}
