//! What the entities of a file or of a block are. Comes in: records. Goes out: paths, blocks inserted, and
//! entities that could not be taken, in the file's order and in their own coordinates.

use super::super::{DrawnPath, ImportFault, Unread};
use super::curves::{self, Course, facing, point};
use super::groups::{Record, shown};
use super::polylines;
use crate::shape::{Point, Transformation};

/// One entity.
#[derive(Debug, Clone)]
pub(super) enum Item {
    Path(DrawnPath),
    Unread(Unread),
    Insert(Insert),
}

/// A block put into the drawing, once or in rows and columns.
#[derive(Debug, Clone)]
pub(super) struct Insert {
    pub block: String,
    pub handle: Option<String>,
    pub layer: Option<String>,
    pub line: usize,
    /// From the block's axes, its base point at the origin, to those it is put into, for the first of an array.
    pub map: Transformation,
    /// The steps from one column to the next and from one row to the next, and how many there are.
    pub column: Point,
    pub row: Point,
    pub columns: i64,
    pub rows: i64,
}

/// What draws nothing that an outline could be, and is passed over where a whole layer is asked for.
const LETTERING: [&str; 21] = [
    "TEXT",
    "MTEXT",
    "RTEXT",
    "ARCALIGNEDTEXT",
    "ATTDEF",
    "ATTRIB",
    "DIMENSION",
    "ARC_DIMENSION",
    "LARGE_RADIAL_DIMENSION",
    "LEADER",
    "MULTILEADER",
    "MLEADER",
    "TOLERANCE",
    "POINT",
    "VIEWPORT",
    "IMAGE",
    "WIPEOUT",
    "XLINE",
    "RAY",
    "HATCH",
    "LIGHT",
];

/// Reads the entities among records; those that follow a POLYLINE or an INSERT up to SEQEND belong to it.
pub(super) fn items(records: &[Record<'_>]) -> Result<Vec<Item>, ImportFault> {
    let mut items = Vec::new();
    let mut at = 0;
    while let Some(record) = records.get(at) {
        at += 1;
        let mut followers: &[Record<'_>] = &[];
        let has_followers = record.kind == "POLYLINE"
            || record.kind == "INSERT" && matches!(record.whole_or(66, 0), Ok(1));
        if has_followers {
            let rest = &records[at..];
            let follow = rest
                .iter()
                .take_while(|next| matches!(next.kind, "VERTEX" | "ATTRIB"))
                .count();
            followers = &rest[..follow];
            at += follow;
            match records.get(at) {
                Some(end) if end.kind == "SEQEND" => at += 1,
                Some(_) | None => {
                    let line = followers.last().map_or(record.line, |last| last.line);
                    return Err(ImportFault::new(
                        line,
                        0,
                        format!(
                            "the {} begun in line {} has no SEQEND",
                            record.kind, record.line
                        ),
                        "the last that belongs to it",
                    )
                    .with_help("save the drawing again as DXF: the file is damaged"));
                }
            }
        }
        items.extend(item(record, followers));
    }
    Ok(items)
}

/// One entity; none where it draws nothing at all.
fn item(record: &Record<'_>, followers: &[Record<'_>]) -> Option<Item> {
    let handle = record.text(5).map(|handle| shown(&handle.to_uppercase()));
    let layer = Some(unescaped(record.text(8).unwrap_or("0")));
    let unread = |fault: ImportFault, only_by_name: bool| {
        Some(Item::Unread(Unread {
            id: handle.clone(),
            layer: layer.clone(),
            fault,
            only_by_name,
        }))
    };
    if matches!(record.whole_or(67, 0), Ok(1)) {
        let fault = record
            .fault(
                format!(
                    "this {} lies on a sheet (paper space), not in the drawing",
                    shown(record.kind)
                ),
                "on a sheet",
            )
            .with_help("ask for what is drawn in the model");
        return unread(fault, true);
    }
    let course: Result<Course, ImportFault> = match record.kind {
        "LINE" => curves::line(record),
        "ARC" => curves::arc(record),
        "CIRCLE" => curves::circle(record),
        "ELLIPSE" => curves::ellipse(record),
        "SPLINE" => curves::spline(record),
        "LWPOLYLINE" => polylines::lightweight(record),
        "POLYLINE" => polylines::heavy(record, followers),
        "INSERT" => {
            return match insert(record, handle.clone(), layer.clone()) {
                Ok(insert) => Some(Item::Insert(insert)),
                Err(fault) => unread(fault, false),
            };
        }
        "SEQEND" | "VERTEX" | "ENDBLK" => return None,
        other => {
            let fault = record
                .fault(
                    format!("{} gives no outline", shown(other)),
                    "neither line, arc, circle, ellipse, spline, polyline nor block",
                )
                .with_help("draw over it with one of these, or turn it into them (explode it)");
            return unread(fault, LETTERING.contains(&other));
        }
    };
    match course {
        Ok(course) if course.pieces.is_empty() => None,
        Ok(course) => Some(Item::Path(DrawnPath {
            id: handle,
            layer,
            pieces: course.pieces,
            closed: course.closed,
            line: record.line,
        })),
        Err(fault) => unread(fault, false),
    }
}

/// Copies along a row or a column beyond this are no one's work.
const MOST_COPIES: i64 = 32_767;

fn insert(
    record: &Record<'_>,
    handle: Option<String>,
    layer: Option<String>,
) -> Result<Insert, ImportFault> {
    let Some(block) = record.text(2) else {
        return Err(record
            .fault(
                "this INSERT does not say which block (group code 2)",
                "incomplete",
            )
            .with_help("save the drawing again: the file is damaged"));
    };
    let at = point(record, 10, "where it is")?;
    let scale = [record.number_or(41, 1.0)?, record.number_or(42, 1.0)?];
    if scale.contains(&0.0) {
        return Err(record
            .fault("this INSERT has a scale of zero", "no size")
            .with_help("delete it, or give it a size, in the program that drew it"));
    }
    let turn = Transformation::turn(record.number_or(50, 0.0)?.to_radians());
    let (columns, rows) = (
        record.whole_or(70, 1)?.max(1),
        record.whole_or(71, 1)?.max(1),
    );
    if columns.max(rows) > MOST_COPIES {
        return Err(record
            .fault(
                format!("this INSERT has {columns} columns and {rows} rows"),
                "more than any drawing has",
            )
            .with_help("save the drawing again: the file is damaged"));
    }
    let steps = [record.number_or(44, 0.0)?, record.number_or(45, 0.0)?];
    let faces = facing(record)?.map();
    let own = |map: Transformation| faces.map_or(map, |faces| faces.after(&map));
    let whole = own(Transformation::shift(at)
        .after(&turn)
        .after(&Transformation::scale(scale[0], scale[1])));
    let step = |x: f64, y: f64| own(turn).apply_to_vector(Point::new(x, y));
    Ok(Insert {
        block: unescaped(block),
        handle,
        layer,
        line: record.line,
        map: whole,
        column: step(steps[0], 0.0),
        row: step(0.0, steps[1]),
        columns,
        rows,
    })
}

/// A name with what older files write for letters beyond ASCII: \U+00E4 for ä.
pub(super) fn unescaped(name: &str) -> String {
    let mut out = String::new();
    let mut rest = name;
    while let Some(at) = rest.find("\\U+") {
        let code = rest.get(at + 3..at + 7);
        let letter = code
            .and_then(|code| u32::from_str_radix(code, 16).ok())
            .and_then(char::from_u32);
        let Some(letter) = letter else {
            out.push_str(&rest[..at + 3]);
            rest = &rest[at + 3..];
            continue;
        };
        out.push_str(&rest[..at]);
        out.push(letter);
        rest = &rest[at + 7..];
    }
    out.push_str(rest);
    out
}
