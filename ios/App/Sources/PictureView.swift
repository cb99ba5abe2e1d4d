import HosewrightKit
import SwiftUI

/// A set drawn as it sits, shape by shape as the core says. A unit of the picture
/// is a point, so that its letters can be read; what is wider than the page is
/// moved to and fro, its middle seen first. VoiceOver reads its words.
struct PictureView: View {
    let picture: Picture

    var body: some View {
        ScrollView(.horizontal) {
            Canvas { context, _ in
                for mark in picture.marks { draw(mark, in: &context) }
            }
            .frame(width: CGFloat(picture.width), height: CGFloat(picture.height))
            .background(.white)
        }
        .defaultScrollAnchor(.center)
        .accessibilityElement(children: .ignore)
        .accessibilityLabel(picture.words)
    }

    private func draw(_ mark: Mark, in context: inout GraphicsContext) {
        switch mark {
        case .rect(let at, let width, let height, let round, let fill, let stroke):
            let box = CGRect(x: Int(at.x), y: Int(at.y), width: Int(width), height: Int(height))
            paint(Path(roundedRect: box, cornerRadius: CGFloat(round)), fill, stroke, in: &context)
        case .circle(let at, let radius, let fill, let stroke):
            let side = Int(radius) * 2
            let box = CGRect(x: Int(at.x - radius), y: Int(at.y - radius), width: side, height: side)
            paint(Path(ellipseIn: box), fill, stroke, in: &context)
        case .path(let steps, let fill, let stroke):
            paint(trace(steps), fill, stroke, in: &context)
        case .text(let at, let size, let bold, let anchor, let fill, let words):
            let font = Font.system(size: CGFloat(size), weight: bold ? .bold : .regular)
            let text = context.resolve(Text(verbatim: words).font(font).foregroundStyle(Color(rgb: fill)))
            let whole = CGSize(width: CGFloat.infinity, height: CGFloat.infinity)
            let (wide, base) = (text.measure(in: whole).width, text.firstBaseline(in: whole))
            let left: CGFloat
            switch anchor {
            case .start: left = 0
            case .middle: left = wide / 2
            case .end: left = wide
            }
            context.draw(text, at: CGPoint(x: CGFloat(at.x) - left, y: CGFloat(at.y) - base), anchor: .topLeading)
        }
    }

    /// What is enclosed first, then the line round it.
    private func paint(_ path: Path, _ fill: UInt32?, _ stroke: Stroke?, in context: inout GraphicsContext) {
        if let fill { context.fill(path, with: .color(Color(rgb: fill))) }
        guard let stroke else { return }
        let dashes: [CGFloat] = stroke.dash > 0 ? [CGFloat(stroke.dash), CGFloat(stroke.gap)] : []
        let style = StrokeStyle(
            lineWidth: CGFloat(stroke.width), lineJoin: stroke.round ? .round : .miter, dash: dashes)
        context.stroke(path, with: .color(Color(rgb: stroke.colour)), style: style)
    }

    private func trace(_ steps: [Step]) -> Path {
        var path = Path()
        for step in steps {
            switch step {
            case .from(let at): path.move(to: point(at))
            case .to(let at): path.addLine(to: point(at))
            case .curve(let first, let second, let to):
                path.addCurve(to: point(to), control1: point(first), control2: point(second))
            case .close: path.closeSubpath()
            }
        }
        return path
    }

    private func point(_ at: At) -> CGPoint {
        CGPoint(x: Int(at.x), y: Int(at.y))
    }
}
