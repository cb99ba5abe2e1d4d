@preconcurrency import CoreNFC
import HosewrightKit

/// The phone's reader of chips: one chip at a time, on a sheet of the system's.
@MainActor
final class Chips: NSObject, @preconcurrency NFCNDEFReaderSessionDelegate {
    private var session: NFCNDEFReaderSession?
    private var work: (@MainActor (NFCNDEFTag, NFCNDEFReaderSession) async -> Void)?
    private let obstacle: @MainActor (Obstacle) -> Void

    init(obstacle: @escaping @MainActor (Obstacle) -> Void) {
        self.obstacle = obstacle
    }

    /// Reads a chip: its message, or no bytes if it is empty.
    func read(hint: String, then: @escaping @MainActor (Data) -> Void) {
        begin(hint: hint) { tag, session in
            do {
                let held = try await Self.message(of: tag)
                session.invalidate()
                then(held)
            } catch {
                self.lost(session)
            }
        }
    }

    /// Writes a hose's message, unless the chip holds another's.
    func write(_ screen: ChipScreen, hint: String) {
        begin(hint: hint) { tag, session in
            do {
                let (_, room) = try await tag.queryNDEFStatus()
                let held = try await Self.message(of: tag)
                guard let message = await screen.message(room: room, held: held) else {
                    session.invalidate(errorMessage: screen.trouble?.words ?? "")
                    return
                }
                guard let ndef = NFCNDEFMessage(data: message.bytes) else {
                    self.lost(session)
                    return
                }
                try await tag.writeNDEF(ndef)
                session.alertMessage = message.words
                session.invalidate()
                screen.written(message)
            } catch {
                self.lost(session)
            }
        }
    }

    private static func message(of tag: NFCNDEFTag) async throws -> Data {
        let (status, _) = try await tag.queryNDEFStatus()
        if status == .notSupported { return Data() }
        do {
            return try await tag.readNDEF().asData
        } catch let error as NFCReaderError where error.code == .ndefReaderSessionErrorZeroLengthMessage {
            return Data()
        }
    }

    private func begin(hint: String, work: @escaping @MainActor (NFCNDEFTag, NFCNDEFReaderSession) async -> Void) {
        guard NFCNDEFReaderSession.readingAvailable else {
            obstacle(.noChips)
            return
        }
        self.work = work
        let fresh = NFCNDEFReaderSession(delegate: self, queue: .main, invalidateAfterFirstRead: false)
        fresh.alertMessage = hint
        session = fresh
        fresh.begin()
    }

    private func lost(_ session: NFCNDEFReaderSession) {
        session.invalidate(errorMessage: Trouble(Obstacle.chipLost).words)
        obstacle(.chipLost)
    }

    func readerSession(_ session: NFCNDEFReaderSession, didDetect tags: [NFCNDEFTag]) {
        guard let tag = tags.first, let work else { return }
        Task { @MainActor in
            do {
                try await session.connect(to: tag)
                await work(tag, session)
            } catch {
                lost(session)
            }
        }
    }

    func readerSession(_ session: NFCNDEFReaderSession, didDetectNDEFs messages: [NFCNDEFMessage]) {}

    func readerSession(_ session: NFCNDEFReaderSession, didInvalidateWithError error: Error) {
        self.session = nil
    }
}

extension NFCNDEFMessage {
    /// The message's bytes (NFC Forum, NDEF 1.0): CoreNFC hands over records alone.
    var asData: Data {
        var bytes = Data()
        for (at, record) in records.enumerated() {
            var head = record.typeNameFormat.rawValue
            if at == 0 { head |= 0x80 }
            if at == records.count - 1 { head |= 0x40 }
            let short = record.payload.count < 256
            if short { head |= 0x10 }
            if !record.identifier.isEmpty { head |= 0x08 }
            bytes.append(head)
            bytes.append(UInt8(clamping: record.type.count))
            if short {
                bytes.append(UInt8(record.payload.count))
            } else {
                withUnsafeBytes(of: UInt32(record.payload.count).bigEndian) { bytes.append(contentsOf: $0) }
            }
            if !record.identifier.isEmpty { bytes.append(UInt8(clamping: record.identifier.count)) }
            bytes.append(record.type)
            bytes.append(record.identifier)
            bytes.append(record.payload)
        }
        return bytes
    }
}
