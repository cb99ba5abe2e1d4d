import Foundation
@_exported import HosewrightCore

/// The record, asked from one queue of its own: calls into the core block, and
/// a screen never waits. It is opened with the first question, and where that
/// fails it is tried again with the next.
public final class Desk: @unchecked Sendable {
    private let place: Place
    private let today: @Sendable () -> String
    private let by: @Sendable () -> String
    private let queue = DispatchQueue(label: "hosewright.record")
    /// Touched on the queue alone.
    private var logbook: Logbook?

    /// A desk over the record at a place.
    public init(place: Place, today: @escaping @Sendable () -> String = Desk.day, by: @escaping @Sendable () -> String) {
        self.place = place
        self.today = today
        self.by = by
    }

    /// Asks a question, off the main thread.
    public func ask<T: Sendable>(_ question: @escaping @Sendable (Logbook, Moment) throws -> T) async throws -> T {
        try await withCheckedThrowingContinuation { told in
            queue.async {
                do {
                    let logbook = try self.opened()
                    let moment = Moment(today: self.today(), by: self.by())
                    told.resume(returning: try question(logbook, moment))
                } catch {
                    told.resume(throwing: error)
                }
            }
        }
    }

    /// Saves a damaged record: it is closed first, and opened again with the next question.
    public func salvage(_ progress: ProgressListener) async throws -> Salvaged {
        try await withCheckedThrowingContinuation { told in
            queue.async {
                self.logbook = nil
                told.resume(with: Result { try HosewrightCore.salvage(place: self.place, progress: progress) })
            }
        }
    }

    /// Damaged files that were set aside, to be shared with someone who repairs them.
    public func setAside() -> [URL] {
        setAsideFiles(place: place).map { URL(fileURLWithPath: $0) }
    }

    private func opened() throws -> Logbook {
        if let logbook { return logbook }
        let fresh = try Logbook.open(place: place)
        logbook = fresh
        return fresh
    }

    /// Today by this phone's own calendar, as 2026-06-15.
    @Sendable public static func day() -> String {
        let parts = Calendar(identifier: .gregorian).dateComponents([.year, .month, .day], from: Date())
        return String(format: "%04d-%02d-%02d", parts.year ?? 0, parts.month ?? 0, parts.day ?? 0)
    }

    /// The phone's own record. The key lies apart and is left out of backups, so
    /// that a restored record is known to be a copy.
    public static func ownPlace() throws -> Place {
        let files = FileManager.default
        let support = try files.url(for: .applicationSupportDirectory, in: .userDomainMask, appropriateFor: nil, create: true)
        let record = support.appendingPathComponent("record", isDirectory: true)
        var keys = support.appendingPathComponent("keys", isDirectory: true)
        try files.createDirectory(at: record, withIntermediateDirectories: true)
        try files.createDirectory(at: keys, withIntermediateDirectories: true)
        var values = URLResourceValues()
        values.isExcludedFromBackup = true
        try keys.setResourceValues(values)
        return Place(store: record.appendingPathComponent("record.hosewright").path, keys: keys.path)
    }

    /// The phone's own record as files: the store, and what SQLite has beside it
    /// and has not moved into it yet. None if there is no record.
    public static func ownFiles() -> [URL] {
        guard let place = try? ownPlace() else { return [] }
        return [place.store, place.store + "-wal"]
            .filter { FileManager.default.fileExists(atPath: $0) }
            .map { URL(fileURLWithPath: $0) }
    }
}
