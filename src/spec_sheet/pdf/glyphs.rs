//! What a page shows: its glyphs with their places, and whether there are pictures.
//!
//! The operators of a content stream and what they do to the text's place are those of ISO 32000-1:2008, clause 9
//! (text), 8.3 (coordinates) and 12.5.5 (appearances of annotations), from memory. What draws and colours is
//! passed over.

use hayro_font::hayro_cmap::BfString;
use hayro_font::kurbo::{Affine, Point, Rect, Vec2};
use hayro_font::{
    CMapResolverFn, Font, FontCache, FontGlyph, FontQuery, FontResolverFn, StandardFont,
};
use hayro_syntax::content::TypedIter;
use hayro_syntax::content::ops::TypedInstruction as Op;
use hayro_syntax::object::{Array, Dict, Name, Object, Stream, String as Bytes};
use hayro_syntax::page::{Page, Resources};
use std::sync::Arc;

use crate::text::Frame;

/// Form within form, no deeper.
const DEEPEST: u32 = 12;
/// Saved states, no more: well-formed pages have a few dozen.
const MOST_SAVED: usize = 4096;
/// Glyphs of a file, no more: a thousand full pages.
pub const MOST_GLYPHS: usize = 4_000_000;

/// A glyph on its page.
#[derive(Debug, Clone)]
pub struct Glyph {
    /// What it stands for; nothing where its font doesn't say.
    pub text: Option<String>,
    /// Along the line of writing, points.
    pub u0: f64,
    /// Its end along the line of writing.
    pub u1: f64,
    /// The base line, upwards across the line of writing.
    pub v: f64,
    /// Size of the font, points.
    pub size: f64,
    /// How often the line of writing is turned left by a right angle; 4 for lines that are askew.
    pub turn: u8,
    /// Its box on the page.
    pub frame: Frame,
    /// Whether its font is a bold one by its name.
    pub bold: bool,
}

/// What was found on a page.
#[derive(Debug, Default)]
pub struct Drawn {
    /// Its glyphs, in the order in which they are drawn.
    pub glyphs: Vec<Glyph>,
    /// The largest picture, as a share of the page.
    pub picture: f64,
    /// How many shapes are filled or stroked.
    pub shapes: usize,
    /// Whether its content couldn't be read.
    pub damaged: bool,
    /// Whether there are more glyphs than are read.
    pub too_many: bool,
}

/// Fonts of a file.
pub struct Fonts<'a> {
    cache: FontCache<'a>,
    resolver: FontResolverFn,
    cmaps: CMapResolverFn,
}

impl Fonts<'_> {
    /// None loaded yet.
    pub fn new() -> Self {
        Fonts {
            cache: FontCache::new(),
            // Only widths and names are asked of a font that the file doesn't hold.
            resolver: Arc::new(|query| match query {
                FontQuery::Standard(font) => Some(font.get_font_data()),
                FontQuery::Fallback(font) => Some(font.pick_standard_font().get_font_data()),
            }),
            cmaps: Arc::new(|_| None),
        }
    }
}

/// Reads what page `page` shows, at most `most` glyphs.
pub fn read<'a>(page: &Page<'a>, fonts: &Fonts<'a>, most: usize) -> Drawn {
    let (width, height) = page.render_dimensions();
    let mut reader = Reader {
        fonts,
        drawn: Drawn::default(),
        width: f64::from(width),
        height: f64::from(height),
        depth: 0,
        most,
    };
    let start = Affine::new(page.initial_transform(false).as_coeffs());
    let has_content = page.raw().contains_key(b"Contents");
    reader.drawn.damaged = has_content && page.page_stream().is_none();
    reader.run(page.typed_operations(), page.resources(), State::new(start));
    let annotations = page.raw().get::<Array<'a>>(b"Annots").unwrap_or_default();
    for annotation in annotations.iter::<Dict<'a>>() {
        reader.annotation(&annotation, page.resources(), start);
    }
    reader.drawn
}

/// Where and how text goes.
#[derive(Clone)]
struct State<'a> {
    page: Affine,
    font: Option<(Font<'a>, bool)>,
    size: f64,
    char_space: f64,
    word_space: f64,
    stretch: f64,
    leading: f64,
    rise: f64,
    text: Affine,
    line: Affine,
}

impl State<'_> {
    fn new(page: Affine) -> Self {
        State {
            page,
            font: None,
            size: 1.0,
            char_space: 0.0,
            word_space: 0.0,
            stretch: 1.0,
            leading: 0.0,
            rise: 0.0,
            text: Affine::IDENTITY,
            line: Affine::IDENTITY,
        }
    }

    fn next_line(&mut self, x: f64, y: f64) {
        self.line *= Affine::translate((x, y));
        self.text = self.line;
    }

    fn go(&mut self, along: f64) {
        let horizontal = self
            .font
            .as_ref()
            .is_none_or(|(font, _)| font.is_horizontal());
        let step = if horizontal {
            (along * self.stretch, 0.0)
        } else {
            (0.0, along)
        };
        self.text *= Affine::translate(step);
    }
}

struct Reader<'r, 'a> {
    fonts: &'r Fonts<'a>,
    drawn: Drawn,
    width: f64,
    height: f64,
    depth: u32,
    most: usize,
}

impl<'a> Reader<'_, 'a> {
    fn run(&mut self, mut operations: TypedIter<'_>, resources: &Resources<'a>, state: State<'a>) {
        let mut saved: Vec<State<'a>> = Vec::new();
        let mut state = state;
        while let Some(operation) = operations.next() {
            if self.drawn.too_many {
                return;
            }
            match operation {
                Op::SaveState(_) if saved.len() < MOST_SAVED => saved.push(state.clone()),
                Op::RestoreState(_) => {
                    if let Some(last) = saved.pop() {
                        state = last;
                    }
                }
                Op::Transform(m) => {
                    let numbers = [m.0, m.1, m.2, m.3, m.4, m.5];
                    state.page *= Affine::new(numbers.map(|number| number.as_f64()));
                }
                Op::BeginText(_) => {
                    state.text = Affine::IDENTITY;
                    state.line = Affine::IDENTITY;
                }
                Op::SetTextMatrix(m) => {
                    let numbers = [m.0, m.1, m.2, m.3, m.4, m.5];
                    state.line = Affine::new(numbers.map(|number| number.as_f64()));
                    state.text = state.line;
                }
                Op::TextFont(font) => {
                    state.size = font.1.as_f64();
                    state.font = self.font(resources.get_font(font.0));
                }
                Op::SetGraphicsState(name) => {
                    let font = resources
                        .get_ext_g_state(name.0)
                        .and_then(|dict| dict.get::<Array<'a>>(b"Font"));
                    if let Some(font) = font {
                        let mut parts = font.iter::<Object<'a>>();
                        let dict = parts.next().and_then(Object::into_dict);
                        if let Some(size) = parts.next().and_then(Object::into_number) {
                            state.size = size.as_f64();
                            state.font = self.font(dict);
                        }
                    }
                }
                Op::CharacterSpacing(space) => state.char_space = space.0.as_f64(),
                Op::WordSpacing(space) => state.word_space = space.0.as_f64(),
                Op::HorizontalScaling(stretch) => state.stretch = stretch.0.as_f64() / 100.0,
                Op::TextLeading(leading) => state.leading = leading.0.as_f64(),
                Op::TextRise(rise) => state.rise = rise.0.as_f64(),
                Op::NextLine(step) => state.next_line(step.0.as_f64(), step.1.as_f64()),
                Op::NextLineAndSetLeading(step) => {
                    state.leading = -step.1.as_f64();
                    state.next_line(step.0.as_f64(), step.1.as_f64());
                }
                Op::NextLineUsingLeading(_) => state.next_line(0.0, -state.leading),
                Op::ShowText(text) => self.show(&mut state, text.0),
                Op::NextLineAndShowText(text) => {
                    state.next_line(0.0, -state.leading);
                    self.show(&mut state, text.0);
                }
                Op::ShowTextWithParameters(text) => {
                    state.word_space = text.0.as_f64();
                    state.char_space = text.1.as_f64();
                    state.next_line(0.0, -state.leading);
                    self.show(&mut state, text.2);
                }
                Op::ShowTexts(texts) => {
                    for part in texts.0.iter::<Object<'_>>() {
                        match part {
                            Object::Number(back) => state.go(-back.as_f64() / 1000.0 * state.size),
                            Object::String(text) => self.show(&mut state, &text),
                            _ => {}
                        }
                    }
                }
                Op::XObject(name) => {
                    if let Some(stream) = resources.get_x_object(name.0) {
                        self.object(&stream, resources, &state);
                    }
                }
                Op::InlineImage(_) => self.picture(state.page),
                Op::FillPathNonZero(_)
                | Op::FillPathNonZeroCompatibility(_)
                | Op::FillPathEvenOdd(_)
                | Op::FillAndStrokeNonZero(_)
                | Op::FillAndStrokeEvenOdd(_)
                | Op::CloseFillAndStrokeNonZero(_)
                | Op::CloseFillAndStrokeEvenOdd(_) => self.drawn.shapes += 1,
                _ => {}
            }
        }
    }

    fn font(&self, dict: Option<Dict<'a>>) -> Option<(Font<'a>, bool)> {
        let fonts = self.fonts;
        let Some(dict) = dict else {
            // A font that isn't there is taken for the plainest one, as viewers do.
            let plain = fonts
                .cache
                .standard_font(StandardFont::Helvetica, &fonts.resolver)?;
            return Some((plain, false));
        };
        let name = dict.get::<Name<'a>>(b"BaseFont");
        let bold = name.is_some_and(|name| {
            let name = name.as_str().to_ascii_lowercase();
            ["bold", "black", "heavy"]
                .iter()
                .any(|word| name.contains(word))
        });
        Some((
            fonts.cache.font(&dict, &fonts.resolver, &fonts.cmaps)?,
            bold,
        ))
    }

    fn object(&mut self, stream: &Stream<'a>, resources: &Resources<'a>, state: &State<'a>) {
        let dict = stream.dict();
        match dict.get::<Name<'_>>(b"Subtype").as_ref().map(Name::as_str) {
            Some("Image") => self.picture(state.page),
            Some("Form") if self.depth < DEEPEST => {
                let Ok(content) = stream.decoded_data() else {
                    self.drawn.damaged = true;
                    return;
                };
                let matrix = dict
                    .get::<[f64; 6]>(b"Matrix")
                    .map_or(Affine::IDENTITY, Affine::new);
                let own = dict.get::<Dict<'a>>(b"Resources").map(Resources::new);
                let mut inner = state.clone();
                inner.page *= matrix;
                self.depth += 1;
                self.run(
                    TypedIter::new(&content),
                    own.as_ref().unwrap_or(resources),
                    inner,
                );
                self.depth -= 1;
            }
            _ => {}
        }
    }

    /// What a form's field or a note shows: its normal appearance, fitted into its rectangle.
    fn annotation(&mut self, annotation: &Dict<'a>, resources: &Resources<'a>, start: Affine) {
        const HIDDEN: u32 = 1 << 1;
        const NO_VIEW: u32 = 1 << 5;
        if annotation.get::<u32>(b"F").unwrap_or(0) & (HIDDEN | NO_VIEW) != 0 {
            return;
        }
        let normal = annotation
            .get::<Dict<'a>>(b"AP")
            .and_then(|dict| dict.get::<Object<'a>>(b"N"));
        let stream = match normal {
            Some(Object::Stream(stream)) => stream,
            Some(Object::Dict(states)) => {
                let state = annotation.get::<Name<'a>>(b"AS");
                let Some(stream) = state.and_then(|name| states.get::<Stream<'a>>(name)) else {
                    return;
                };
                stream
            }
            _ => return,
        };
        let dict = stream.dict();
        let (Some(target), Some(own)) = (
            annotation.get::<[f64; 4]>(b"Rect"),
            dict.get::<[f64; 4]>(b"BBox"),
        ) else {
            return;
        };
        let target = Rect::from_points((target[0], target[1]), (target[2], target[3]));
        let matrix = dict
            .get::<[f64; 6]>(b"Matrix")
            .map_or(Affine::IDENTITY, Affine::new);
        let own = Rect::from_points((own[0], own[1]), (own[2], own[3]));
        let own = matrix.transform_rect_bbox(own);
        if own.width() <= 0.0 || own.height() <= 0.0 {
            return;
        }
        let (sx, sy) = (target.width() / own.width(), target.height() / own.height());
        let fit = Affine::new([
            sx,
            0.0,
            0.0,
            sy,
            target.x0 - sx * own.x0,
            target.y0 - sy * own.y0,
        ]);
        // A page's mark of a link draws no text, and a form without its subtype is a form all the same.
        let Ok(content) = stream.decoded_data() else {
            return;
        };
        let inner = dict.get::<Dict<'a>>(b"Resources").map(Resources::new);
        self.depth += 1;
        let state = State::new(start * fit * matrix);
        self.run(
            TypedIter::new(&content),
            inner.as_ref().unwrap_or(resources),
            state,
        );
        self.depth -= 1;
    }

    /// A picture fills the unit square of its place.
    fn picture(&mut self, place: Affine) {
        let shown = place.transform_rect_bbox(Rect::new(0.0, 0.0, 1.0, 1.0));
        let shown = shown.intersect(Rect::new(0.0, 0.0, self.width, self.height));
        let share = shown.area() / (self.width * self.height).max(1.0);
        if share.is_finite() {
            self.drawn.picture = self.drawn.picture.max(share);
        }
    }

    fn show(&mut self, state: &mut State<'a>, text: &Bytes<'_>) {
        if state.font.is_none() {
            state.font = self.font(None);
        }
        let Some((font, bold)) = state.font.clone() else {
            return;
        };
        let bytes = text.as_bytes();
        let mut at = 0;
        while at < bytes.len() {
            let (code, len) = font.read_code(bytes, at);
            at += len.max(1);
            let advance = font.code_advance(code);
            self.glyph(state, &font, code, advance, bold);
            let width = if font.is_horizontal() {
                advance.x
            } else {
                advance.y
            };
            let mut along = width / 1000.0 * state.size + state.char_space;
            if code == 32 && len == 1 {
                along += state.word_space;
            }
            state.go(along);
        }
    }

    fn glyph(&mut self, state: &State<'a>, font: &Font<'a>, code: u32, advance: Vec2, bold: bool) {
        let size = state.size;
        let own = Affine::new([size * state.stretch, 0.0, 0.0, size, 0.0, state.rise]);
        let place = state.page * state.text * own;
        let origin = place * Point::ZERO;
        let end = place * Point::new((advance.x / 1000.0).max(0.0), 0.0);
        let along = place * Point::new(1.0, 0.0) - origin;
        let up = place * Point::new(0.0, 1.0) - origin;
        let height = up.hypot();
        let seen =
            origin.x.is_finite() && origin.y.is_finite() && end.x.is_finite() && end.y.is_finite();
        // What lies beyond the page's edge isn't seen, nor what is too small to be.
        let inside = origin.x >= -1.0
            && origin.y >= -1.0
            && origin.x <= self.width
            && origin.y <= self.height;
        if !seen || !inside || !(0.5..=2000.0).contains(&height) {
            return;
        }
        if self.drawn.glyphs.len() >= self.most {
            self.drawn.too_many = true;
            return;
        }
        let (turn, (u0, v)) = turned(along, origin);
        let u1 = u0 + (end - origin).hypot();
        let corners = [
            origin - up * 0.2,
            origin + up * 0.75,
            end - up * 0.2,
            end + up * 0.75,
        ];
        let spread = |of: fn(&Point) -> f64| {
            let all = corners.iter().map(of);
            all.fold((f64::MAX, f64::MIN), |(low, high), one| {
                (low.min(one), high.max(one))
            })
        };
        let ((x0, x1), (y0, y1)) = (spread(|point| point.x), spread(|point| point.y));
        let unicode = match font.glyph(font.map_code(code), code) {
            FontGlyph::Outline(glyph) => glyph.as_unicode(),
            FontGlyph::Type3(glyph) => glyph.as_unicode(),
        };
        let text = unicode.map(|unicode| match unicode {
            BfString::Char(one) => one.to_string(),
            BfString::String(many) => many,
        });
        self.drawn.glyphs.push(Glyph {
            text,
            u0,
            u1,
            v,
            size: height,
            turn,
            frame: Frame { x0, y0, x1, y1 },
            bold,
        });
    }
}

/// How often the line of writing is turned by a right angle, and a point along and across it.
fn turned(along: Vec2, at: Point) -> (u8, (f64, f64)) {
    // Within about six degrees; what is more askew is a stamp across the page.
    const ASKEW: f64 = 0.1;
    let (x, y) = (along.x, along.y);
    let straight = x.abs().min(y.abs()) <= ASKEW * x.abs().max(y.abs());
    let (turn, place) = if x.abs() >= y.abs() {
        if x >= 0.0 {
            (0, (at.x, at.y))
        } else {
            (2, (-at.x, -at.y))
        }
    } else if y >= 0.0 {
        (1, (at.y, -at.x))
    } else {
        (3, (-at.y, at.x))
    };
    (if straight { turn } else { 4 }, place)
}
