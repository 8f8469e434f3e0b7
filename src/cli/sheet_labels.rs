//! `sheet labels`: labels of bags, bins and units.

use super::clock::this_quarter;
use super::noun::{Line, Serial};
use super::one_of::one_of;
use super::parts::PartsArgs;
use super::read_by::{InUnit, read_by};
use super::sheet_out::SheetOut;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::sheet::label_set::{LabelQuestion, labels};
use crate::core::book::{Label, LabelKind, LifeRule};
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::quantity::Length;
use crate::render::sheets::{self, LabelLayout};
use clap::Args;

/// Labels with text and a QR code that holds the same text, for bags, bins or units
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright sheet labels \"Tarn 2\" --out bags.pdf\n  \
    ringwright sheet labels \"Tarn 2\" 9 11 --serial FT2-004417 --out two.pdf\n  \
    ringwright sheet labels Beck --kind unit --label-width 62mm --label-height 29mm --one-a-page --out units.pdf\n\n\
    The code holds one line: RW1|kind|name=value|...#nn. The last two digits are check digits (ISO 7064 MOD 97-10 over the\n\
    bytes); the guide (ringwright manual) says how to work them out."
)]
pub(super) struct LabelsArgs {
    #[command(flatten)]
    parts: PartsArgs,
    /// Only these lines of its parts list: numbers or words (default: every line that may get a new part)
    #[arg(value_name = "LINE")]
    lines: Vec<Line>,
    /// The unit that the bags are for (default: the one in work); with --kind unit the one that is labelled
    #[arg(long, value_name = "NUMBER")]
    serial: Option<Serial>,
    /// What the labels are stuck on
    #[arg(long, value_name = "KIND", default_value = "bag", value_parser = one_of::<LabelKind>())]
    kind: LabelKind,
    /// Width of a label (default 85 mm)
    #[arg(long, value_name = "LENGTH")]
    label_width: Option<InUnit>,
    /// Height of a label (default 40 mm)
    #[arg(long, value_name = "LENGTH")]
    label_height: Option<InUnit>,
    /// Columns on a sheet
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=20))]
    columns: u8,
    /// Rows on a sheet
    #[arg(long, value_name = "N", default_value_t = 6, value_parser = clap::value_parser!(u8).range(1..=40))]
    rows: u8,
    /// Margin of the label sheet on the left (default 18 mm)
    #[arg(long, value_name = "LENGTH")]
    margin_left: Option<InUnit>,
    /// Margin of the label sheet at the top (default 18 mm)
    #[arg(long, value_name = "LENGTH")]
    margin_top: Option<InUnit>,
    /// Space between columns (default 4 mm)
    #[arg(long, value_name = "LENGTH")]
    gap_across: Option<InUnit>,
    /// Space between rows (default 1 mm)
    #[arg(long, value_name = "LENGTH")]
    gap_down: Option<InUnit>,
    /// One label a page, for a label printer
    #[arg(long)]
    one_a_page: bool,
    #[command(flatten)]
    out: SheetOut,
}

pub(super) fn run(args: &LabelsArgs, settings: &Settings) -> Result<Outcome> {
    let look = &args.out.look;
    let question = LabelQuestion {
        parts: args.parts.question(settings)?,
        kind: args.kind,
        lines: args.lines.iter().cloned().map(Into::into).collect(),
        serial: args.serial.clone().map(Into::into),
        day: look.date(),
        shelf_life: LifeRule {
            system: ShelfLifeSystem::Sae,
            now: this_quarter(),
        },
    };
    let set = labels(&settings.book()?, &question)?;
    if set.labels.is_empty() {
        return Err(CliError::input(format!(
            "{}: there is nothing to label",
            set.title
        )));
    }
    let frame = look.frame("Labels", set.title.clone(), settings)?;
    let pages = sheets::labels(&set, &frame, args.layout(settings)?).map_err(CliError::input)?;
    args.out.write(&pages, settings)
}

impl LabelsArgs {
    fn layout(&self, settings: &Settings) -> Result<LabelLayout> {
        let plain = LabelLayout::PLAIN;
        let mm = |typed: &Option<InUnit>, usual: f64| {
            let length = typed.as_ref().map(|typed| typed.length(settings.unit()));
            Ok::<_, CliError>(length.transpose()?.map_or(usual, Length::mm))
        };
        let layout = LabelLayout {
            size: (
                mm(&self.label_width, plain.size.0)?,
                mm(&self.label_height, plain.size.1)?,
            ),
            grid: (!self.one_a_page).then_some((usize::from(self.columns), usize::from(self.rows))),
            margin: (
                mm(&self.margin_left, plain.margin.0)?,
                mm(&self.margin_top, plain.margin.1)?,
            ),
            gap: (
                mm(&self.gap_across, plain.gap.0)?,
                mm(&self.gap_down, plain.gap.1)?,
            ),
        };
        let sound =
            (10.0..=300.0).contains(&layout.size.0) && (10.0..=300.0).contains(&layout.size.1);
        if sound {
            Ok(layout)
        } else {
            Err(CliError::input(
                "a label is from 10 to 300 mm wide and high",
            ))
        }
    }
}

/// Check the text of a label by its check digits and show what it says
#[derive(Debug, Args)]
pub(super) struct ReadArgs {
    /// The text that a reader shows: RW1|kind|name=value|...#nn
    #[arg(value_name = "TEXT", value_parser = read_by(label))]
    label: Label,
}

fn label(_: &str, text: &str) -> Result<Label> {
    Label::read(text).map_err(CliError::input)
}

pub(super) fn read(args: &ReadArgs, settings: &Settings) -> Result<Outcome> {
    settings.answer(&args.label, Answer::Yes)
}
