"""A morning with `nameplate editor`, held by a client that isn't ours: opens, breaks, mends, renames and closes files.

    NAMEPLATE=PROGRAM pytest tests/editor/session.py

The client (pytest-lsp, on lsprotocol's types) refuses messages that aren't those of the protocol. Each session runs in
both encodings of positions. Nothing is timed; what is waited for comes or the session hangs, which CI ends.
"""
import asyncio
import os
import shutil
from pathlib import Path
from urllib.parse import unquote

import pytest
import pytest_asyncio
from lsprotocol import types
from pytest_lsp import LanguageClient, make_test_lsp_client

ROOT = Path(__file__).resolve().parent.parent.parent
PROGRAM = os.environ.get("NAMEPLATE", str(ROOT / "target/debug/nameplate"))
UNITS = {"utf-8": lambda text: len(text.encode()), "utf-16": lambda text: len(text.encode("utf-16-le")) // 2}
pytestmark = pytest.mark.asyncio


class Desk:
    """A client, a catalog of its own, and the texts that are open."""

    def __init__(self, client: LanguageClient, folder: Path, encoding: str):
        self.client, self.folder, self.encoding = client, folder, encoding
        self.texts: dict[str, str] = {}
        self.versions: dict[str, int] = {}

    def uri(self, name: str) -> str:
        return (self.folder / name).as_uri()

    def document(self, name: str) -> types.TextDocumentIdentifier:
        return types.TextDocumentIdentifier(self.uri(name))

    def open(self, name: str, text: str | None = None) -> None:
        self.texts[name] = (self.folder / name).read_text() if text is None else text
        self.versions[name] = 1
        language = "toml" if name.endswith("toml") else "markdown"
        item = types.TextDocumentItem(self.uri(name), language, 1, self.texts[name])
        self.client.text_document_did_open(types.DidOpenTextDocumentParams(item))

    def close(self, name: str) -> None:
        self.client.text_document_did_close(types.DidCloseTextDocumentParams(self.document(name)))

    def place(self, name: str, offset: int) -> types.Position:
        before = self.texts[name][:offset].split("\n")
        return types.Position(len(before) - 1, UNITS[self.encoding](before[-1]))

    def at(self, name: str, words: str, inside: int = 0) -> types.Position:
        return self.place(name, self.texts[name].index(words) + inside)

    def about(self, name: str, words: str, inside: int = 0) -> dict:
        return {"text_document": self.document(name), "position": self.at(name, words, inside)}

    def type(self, name: str, old: str, new: str) -> None:
        """Puts `new` in the place of `old` as an editor does: only the letters that differ."""
        text = self.texts[name]
        start = text.index(old)
        spot = types.Range(self.place(name, start), self.place(name, start + len(old)))
        self.texts[name] = text[:start] + new + text[start + len(old):]
        self.versions[name] += 1
        change = types.TextDocumentContentChangePartial(range=spot, text=new)
        document = types.VersionedTextDocumentIdentifier(self.versions[name], self.uri(name))
        self.client.text_document_did_change(types.DidChangeTextDocumentParams(document, [change]))

    def rules(self, name: str) -> list[str]:
        return [one.code for one in self.client.diagnostics.get(self.uri(name), [])]

    async def until(self, name: str, holds) -> list[types.Diagnostic]:
        """Waits until what is said of a file is as it should be."""
        while not holds(self.rules(name)):
            await self.client.wait_for_notification(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        return list(self.client.diagnostics.get(self.uri(name), []))

    def written(self, at: types.Range, name: str) -> str:
        """The letters at a range."""
        lines = self.texts[name].split("\n")
        assert at.start.line == at.end.line
        raw = lines[at.start.line]
        if self.encoding == "utf-8":
            return raw.encode()[at.start.character:at.end.character].decode()
        return raw.encode("utf-16-le")[2 * at.start.character:2 * at.end.character].decode("utf-16-le")

    def applied(self, edit: types.WorkspaceEdit) -> None:
        """Writes an edit as an editor does, to open texts and to the disk."""
        for uri, edits in edit.changes.items():
            name = Path(unquote(uri.removeprefix("file://"))).relative_to(self.folder).as_posix()
            text = self.texts.get(name) or (self.folder / name).read_text()
            lines = text.split("\n")
            encode = "utf-8" if self.encoding == "utf-8" else "utf-16-le"
            width = 1 if self.encoding == "utf-8" else 2

            def offset(at: types.Position) -> int:
                part = lines[at.line].encode(encode)[:width * at.character].decode(encode)
                return sum(len(line) + 1 for line in lines[:at.line]) + len(part)

            for one in sorted(edits, key=lambda one: -offset(one.range.start)):
                text = text[:offset(one.range.start)] + one.new_text + text[offset(one.range.end):]
            if name in self.versions:
                self.texts[name] = text
                self.versions[name] += 1
                whole = types.TextDocumentContentChangeWholeDocument(text)
                document = types.VersionedTextDocumentIdentifier(self.versions[name], uri)
                self.client.text_document_did_change(types.DidChangeTextDocumentParams(document, [whole]))
            else:
                (self.folder / name).write_text(text)
        self.client.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([]))


@pytest_asyncio.fixture(params=["utf-8", "utf-16"])
async def desk(request, tmp_path):
    folder = tmp_path / "Otter Mill 𝄞"
    shutil.copytree(ROOT / "catalog-examples/sound", folder)
    client = make_test_lsp_client()
    await client.start_io(PROGRAM, "editor")
    encodings = [types.PositionEncodingKind(one) for one in (["utf-8", "utf-16"] if request.param == "utf-8" else ["utf-16"])]
    capabilities = types.ClientCapabilities(general=types.GeneralClientCapabilities(position_encodings=encodings))
    options = {"grades": True}
    folders = [types.WorkspaceFolder(folder.as_uri(), "mill")]
    params = types.InitializeParams(capabilities, process_id=os.getpid(), workspace_folders=folders, initialization_options=options)
    answer = await client.initialize_session(params)
    assert answer.capabilities.position_encoding == request.param
    yield Desk(client, folder, request.param)
    await client.shutdown_session()
    assert client._server.returncode == 0


async def test_a_morning(desk: Desk):
    """Breaks a part in one file and sees it in the package of another; mends it."""
    packages, parts = "packages/metric.toml", "parts/compressors-linear.toml"
    desk.open(packages)
    desk.open(parts)
    # A comment with a letter of two UTF-16 units before the figure: places are counted in the agreed units.
    desk.type(parts, 'max_pressure = "26 kPa"', '"notes" = "𝄞𝄞", max_pressure = "26 kPa"')
    await desk.until(parts, lambda rules: "syntax.toml" in rules or any(rule.startswith("syntax") for rule in rules))
    desk.type(parts, '"notes" = "𝄞𝄞", max_pressure', 'max_pressure')
    await desk.until(parts, lambda rules: rules == [])
    desk.type(packages, 'depth = "1.8 m"\nflow', 'depth = "9.8 m" # 𝄞\nflow')
    found = await desk.until(packages, lambda rules: "claim.depth" in rules)
    (depth,) = [one for one in found if one.code == "claim.depth"]
    assert depth.severity == types.DiagnosticSeverity.Error and depth.source == "nameplate"
    assert desk.written(depth.range, packages) == '"9.8 m"'
    desk.type(packages, '"9.8 m" # 𝄞\nflow', '"1.8 m"\nflow')
    await desk.until(packages, lambda rules: rules == [])
    # A weaker machine in one text contradicts promises in another, unsaved both.
    desk.type(parts, 'max_pressure = "26 kPa"', 'max_pressure = "12 kPa"')
    await desk.until(packages, lambda rules: rules != [])
    desk.type(parts, 'max_pressure = "12 kPa"', 'max_pressure = "26 kPa"')
    await desk.until(packages, lambda rules: rules == [])


async def test_a_name_everywhere(desk: Desk):
    """Goes from a name to where it is given, finds all its uses, and gives it another in all files."""
    packages, parts, sheet = "packages/metric.toml", "parts/compressors-linear.toml", "sheets/mill-pair.md"
    desk.open(packages)
    about = desk.about(packages, 'part = "linear-62"', 10)
    (given,) = await desk.client.text_document_definition_async(types.DefinitionParams(**about))
    assert given.uri == desk.uri(parts)
    context = types.ReferenceContext(include_declaration=True)
    uses = await desk.client.text_document_references_async(types.ReferenceParams(context, **about))
    listed = {(one.uri, one.range.start.line) for one in uses}
    expected = set()
    for path in desk.folder.rglob("*.toml"):
        for number, line in enumerate(path.read_text().split("\n")):
            if '"linear-62"' in line or "[compressor.linear-62" in line:
                expected.add((path.as_uri(), number))
    assert listed == expected and len(listed) > 1
    range_ = await desk.client.text_document_prepare_rename_async(types.PrepareRenameParams(**about))
    assert range_.placeholder == "linear-62"
    # No ID, and one that is taken, are refused.
    for name in ["Linear 62", "linear-30"]:
        with pytest.raises(Exception):
            await desk.client.text_document_rename_async(types.RenameParams(new_name=name, **about))
    edit = await desk.client.text_document_rename_async(types.RenameParams(new_name="linear-64", **about))
    desk.applied(edit)
    # The package too, with its sub-tables and the page about it.
    about = desk.about(packages, "[package.mill-pair]", 12)
    edit = await desk.client.text_document_rename_async(types.RenameParams(new_name="mill-two", **about))
    assert desk.uri(sheet) in edit.changes
    desk.applied(edit)
    text = desk.texts[packages]
    assert "mill-pair" not in text and text.count("mill-two") >= 4
    assert 'package = "mill-two"' in (desk.folder / sheet).read_text()
    desk.type(packages, 'depth = "1.8 m"', 'depth = "9.9 m"')
    await desk.until(packages, lambda rules: "claim.depth" in rules)
    desk.type(packages, 'depth = "9.9 m"', 'depth = "1.8 m"')
    await desk.until(packages, lambda rules: rules == [])
    for path in desk.folder.rglob("*.*"):
        await desk.until(path.relative_to(desk.folder).as_posix(), lambda rules: rules == [])


async def test_what_is_known_of_a_place(desk: Desk):
    packages = "packages/metric.toml"
    desk.open(packages)

    async def hover(name, words, inside=0):
        answer = await desk.client.text_document_hover_async(types.HoverParams(**desk.about(name, words, inside)))
        return answer.contents.value if answer else ""

    promise = await hover(packages, 'depth = "1.2 m"', 10)
    assert "**depth** 1.2 m" in promise and "Figures:" in promise
    # 1.2 m is 3.94 ft (1 ft = 0.3048 m, NIST SP 811); the digits that were written bound what is shown.
    assert "3.9 ft" in promise or "4 ft" in promise
    part = await hover(packages, 'compressor = "linear-30"', 15)
    assert "compressor `linear-30`" in part and 'max_pressure = "20 kPa"' in part
    assert "For example" in await hover(packages, "above_water", 2)
    desk.open("catalog.toml")
    rule = await hover("catalog.toml", '"unit.false-precision"', 3)
    assert "The physics" in rule
    desk.open("sheets/mill-pair.md")
    assert "**depth** 1.8 m" in await hover("sheets/mill-pair.md", "| 1.8 m |", 3)


async def test_what_may_stand_there(desk: Desk):
    packages = "packages/metric.toml"
    desk.open(packages)

    async def offered(old, new):
        desk.type(packages, old, new)
        spot = desk.about(packages, new, len(new))
        answer = await desk.client.text_document_completion_async(types.CompletionParams(**spot))
        desk.type(packages, new, old)
        return [one.label for one in answer.items]

    keys = await offered('depth = "1.2 m"', "turn")
    assert "turnover" in keys and "area" not in keys and "depth" in keys
    units = await offered('depth = "1.2 m"', 'depth = "1.2 ')
    assert "ft" in units and "m" in units and "kPa" not in units
    names = await offered('compressor = "linear-30"', 'compressor = "lin')
    assert "linear-30" in names and "disc-230" not in names
    assert "with-airline" not in names
    tables = await offered("[package.mill-single.claim]", "[package.mill-single.c")
    assert "claim" in tables


async def test_what_can_be_done_about_it(desk: Desk):
    packages = "packages/metric.toml"
    desk.open(packages)
    desk.type(packages, 'depth = "1.2 m"', 'depth = "7 m"')
    (depth,) = [one for one in await desk.until(packages, lambda rules: "claim.depth" in rules) if one.code == "claim.depth"]
    context = types.CodeActionContext([depth])
    params = types.CodeActionParams(desk.document(packages), depth.range, context)
    actions = await desk.client.text_document_code_action_async(params)
    fix = [one for one in actions if "(claim.depth)" in one.title]
    waiver = [one for one in actions if "Accept claim.depth" in one.title]
    assert len(fix) == 1 and len(waiver) == 1 and not fix[0].is_preferred
    desk.applied(waiver[0].edit)
    # It accepts nothing until somebody gives the reason.
    await desk.until(packages, lambda rules: "waiver.no-reason" in rules and "claim.depth" in rules)
    desk.type(packages, 'reason = ""', 'reason = "measured in the mill pond"')
    await desk.until(packages, lambda rules: "claim.depth" not in rules and "waiver.no-reason" not in rules)
    desk.type(packages, 'reason = "measured in the mill pond"', 'reason = ""')
    await desk.until(packages, lambda rules: "claim.depth" in rules)
    desk.applied(fix[0].edit)
    await desk.until(packages, lambda rules: "claim.depth" not in rules)
    # A safe fix is written by the action that an editor runs on saving.
    desk.type(packages, 'area = "160 m2"', 'area = "160 sq. m"')
    await desk.until(packages, lambda rules: any(rule.startswith("unit") for rule in rules))
    params = types.CodeActionParams(
        desk.document(packages), depth.range, types.CodeActionContext([], only=[types.CodeActionKind.SourceFixAll]))
    for action in await desk.client.text_document_code_action_async(params):
        desk.applied(action.edit)
    await desk.until(packages, lambda rules: not any(rule.startswith("unit") for rule in rules))


async def test_what_it_consists_of(desk: Desk):
    packages = "packages/metric.toml"
    desk.open(packages)
    symbols = await desk.client.text_document_document_symbol_async(types.DocumentSymbolParams(desk.document(packages)))
    names = [one.name for one in symbols]
    assert "mill-single" in names and "mill-pair" in names
    folds = await desk.client.text_document_folding_range_async(types.FoldingRangeParams(desk.document(packages)))
    starts = {one.start_line for one in folds}
    assert desk.at(packages, "[package.mill-single]").line in starts and desk.at(packages, "allows = [").line in starts
    whole = types.Range(types.Position(0, 0), types.Position(100000, 0))
    hints = await desk.client.text_document_inlay_hint_async(types.InlayHintParams(desk.document(packages), whole))
    assert {"holds", "within rating"} & {one.label for one in hints}
    settings = types.DidChangeConfigurationParams({"nameplate": {"grades": False}})
    desk.client.workspace_did_change_configuration(settings)
    assert not await desk.client.text_document_inlay_hint_async(types.InlayHintParams(desk.document(packages), whole))


async def test_a_page_and_files_that_come_and_go(desk: Desk):
    page = "sheets/mill-pair.md"
    desk.open(page)
    desk.type(page, "| Greatest depth | 1.8 m |", "| Greatest depth | 8.8 m |")
    found = await desk.until(page, lambda rules: rules != [])
    assert any("8.8 m" in desk.written(one.range, page) for one in found if one.range.start.line == one.range.end.line)
    # What was typed and not saved goes with the text.
    desk.close(page)
    await desk.until(page, lambda rules: rules == [])
    # A new file that isn't saved yet belongs to its catalog.
    desk.open("packages/new.toml", '[package.new-one]\ncompressor = "linear-99"\n')
    await desk.until("packages/new.toml", lambda rules: any(rule.startswith("reference") for rule in rules))
    desk.close("packages/new.toml")
    await desk.until("packages/new.toml", lambda rules: rules == [])


async def test_what_nobody_asked_for_harms_nothing(desk: Desk):
    desk.open("packages/metric.toml")
    with pytest.raises(Exception):
        await desk.client.workspace_execute_command_async(types.ExecuteCommandParams("none"))
    # Many at once: those that were taken back are answered so, and the rest all the same.
    about = desk.about("packages/metric.toml", 'depth = "1.2 m"', 10)
    all_ = [asyncio.ensure_future(desk.client.text_document_hover_async(types.HoverParams(**about))) for _ in range(50)]
    assert all(one.contents.value for one in await asyncio.gather(*all_))
