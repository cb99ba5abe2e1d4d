import Foundation

/// The day on which the tests play.
let today = "2026-06-15"

/// A folder with a record, written by the command line and read by the phone.
final class Shop: Sendable {
    let folder: URL

    init() throws {
        folder = FileManager.default.temporaryDirectory.appendingPathComponent("hosewright-\(UUID().uuidString)")
        try FileManager.default.createDirectory(at: folder, withIntermediateDirectories: true)
    }

    deinit { try? FileManager.default.removeItem(at: folder) }

    func path(_ name: String) -> URL { folder.appendingPathComponent(name) }

    /// Runs the command line: its exit code and its output.
    @discardableResult
    func run(_ typed: [String]) throws -> (code: Int32, out: String) {
        let process = Process()
        process.executableURL = URL(fileURLWithPath: ProcessInfo.processInfo.environment["HOSEWRIGHT_BINARY"] ?? "")
        process.arguments = ["--today", today] + typed
        process.currentDirectoryURL = folder
        process.environment = [
            "HOSEWRIGHT_BY": "bench", "HOSEWRIGHT_STORE": path("record.hosewright").path,
            "HOSEWRIGHT_KEYS": path("keys").path, "NO_COLOR": "1", "HOME": folder.path,
        ]
        let out = Pipe()
        process.standardOutput = out
        process.standardError = FileHandle.nullDevice
        process.standardInput = FileHandle.nullDevice
        try process.run()
        let said = String(decoding: out.fileHandleForReading.readDataToEndOfFile(), as: UTF8.self)
        process.waitUntilExit()
        return (process.terminationStatus, said)
    }

    /// Runs a command that must succeed, and gives its first line.
    @discardableResult
    func done(_ line: String) throws -> String {
        let said = try run(line.split(separator: " ").map(String.init))
        guard said.code == 0 else { throw Said(words: "\(line)\n\(said.out)") }
        return said.out.split(separator: "\n").first.map(String.init) ?? ""
    }

    func hose() throws -> String {
        try done(
            "register --service second-stage --construction braided --length 22in --end-a 3/8-24 --end-b 9/16-18 "
                + "--made 2024-03 --maker Kelpline --lot B17")
    }

    /// A hose that nothing is known against, in a port of a set.
    func fitted(_ set: String, _ port: String) throws -> String {
        let code = try hose()
        try done("inspect \(code) --kind full")
        try done("fit \(code) --set \(set) --port \(port)")
        try done("inspect \(code) --kind leak-test --passed --pressure 150bar")
        return code
    }

    struct Said: Error, CustomStringConvertible {
        let words: String
        var description: String { words }
    }
}
