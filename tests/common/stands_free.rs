//! Every text of a drawing lies within its frame and over no other.

use spile::drawing::Drawing;

pub(crate) fn assert_drawing_stands_free(name: &str, drawing: &Drawing) {
    let texts: Vec<_> = drawing.texts().zip(drawing.text_boxes()).collect();
    for (index, (text, around)) in texts.iter().enumerate() {
        let (bounds, frame) = (around.bounding_box(), drawing.frame);
        assert!(
            bounds.least.x >= frame.least.x
                && bounds.least.y >= frame.least.y
                && bounds.greatest.x <= frame.greatest.x
                && bounds.greatest.y <= frame.greatest.y,
            "{name}: {:?} beyond the frame",
            text.content
        );
        for (other, over) in &texts[index + 1..] {
            assert!(
                !around.overlaps(over),
                "{name}: {:?} over {:?}",
                text.content,
                other.content
            );
        }
    }
}
