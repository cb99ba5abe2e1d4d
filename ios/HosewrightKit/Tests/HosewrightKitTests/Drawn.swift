import Foundation
import Testing

/// A tag as a camera would see it: the drawing's squares, some pixels each.
struct Drawn {
    let width: Int
    let height: Int
    private(set) var luma: [UInt8]

    init(svg: String) throws {
        let box = try #require(svg.firstMatch(of: #/viewBox="0 0 ([\d.]+) ([\d.]+)"/#))
        let side = 12
        width = Int(Double(box.1)! * Double(side))
        height = Int(Double(box.2)! * Double(side))
        luma = [UInt8](repeating: 255, count: width * height)
        let path = try #require(svg.firstMatch(of: #/<path d="([^"]+)"/#)).1
        for run in path.matches(of: #/M(\d+) (\d+)h(\d+)v1/#) {
            let (left, top, wide) = (Int(run.1)! * side, Int(run.2)! * side, Int(run.3)! * side)
            for y in top..<top + side {
                for x in left..<left + wide { luma[y * width + x] = 0 }
            }
        }
    }
}
