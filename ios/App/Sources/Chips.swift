@preconcurrency import CoreNFC
import HosewrightKit

/// The phone's reader of chips: one chip at a time, on a sheet of the system's.
@MainActor
final class Chips: NSObject, @preconcurrency NFCNDEFReaderSessionDelegate {
    private var session: NFCNDEFReaderSession?
    private var work: (@MainActor (NFCNDEFTag, NFCNDEFReaderSession) async -> Void)?
    private let hindered: @MainActor (Obstacle, String?) -> Void

    init(hindered: @escaping @MainActor (Obstacle, String?) -> Void) {
        self.hindered = hindered
    }

    /// Reads a chip: its message, or no bytes if it is empty.
    func read(hint: String, then: @escaping @MainActor (Data) -> Void) {
        begin(hint: hint) { tag, session in
            do {
                let held = try await Self.message(of: tag)
                session.invalidate()
                then(held)
            } catch {
                self.lost(session, error)
            }
        }
    }

    /// Writes a hose's message, unless the chip holds another's.
    func write(_ screen: Screen, hint: String) {
        begin(hint: hint) { tag, session in
            do {
                let (_, room) = try await tag.queryNDEFStatus()
                let held = try await Self.message(of: tag)
                guard let message = await screen.near(room: room, held: held) else {
                    let words = screen.shown.question?.words.first ?? screen.shown.trouble?.words
                    session.invalidate(errorMessage: words ?? "")
                    return
                }
                guard let ndef = NFCNDEFMessage(data: message) else {
                    self.lost(session, nil)
                    return
                }
                try await tag.writeNDEF(ndef)
                session.alertMessage = screen.shown.said.first ?? ""
                session.invalidate()
                screen.touch(.chipWritten)
            } catch {
                self.lost(session, error)
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
            hindered(.noChips, nil)
            return
        }
        self.work = work
        let fresh = NFCNDEFReaderSession(delegate: self, queue: .main, invalidateAfterFirstRead: false)
        fresh.alertMessage = hint
        session = fresh
        fresh.begin()
    }

    private func lost(_ session: NFCNDEFReaderSession, _ why: Error?) {
        session.invalidate(errorMessage: obstacleShown(obstacle: .chipLost).words)
        hindered(.chipLost, why?.localizedDescription)
    }

    func readerSession(_ session: NFCNDEFReaderSession, didDetect tags: [NFCNDEFTag]) {
        guard let tag = tags.first, let work else { return }
        Task { @MainActor in
            do {
                try await session.connect(to: tag)
                await work(tag, session)
            } catch {
                lost(session, error)
            }
        }
    }

    func readerSession(_ session: NFCNDEFReaderSession, didDetectNDEFs messages: [NFCNDEFMessage]) {}

    func readerSession(_ session: NFCNDEFReaderSession, didInvalidateWithError error: Error) {
        // Another may have begun since: its end is its own.
        guard session === self.session else { return }
        self.session = nil
        switch (error as? NFCReaderError)?.code {
        // The person is done, or what was done is said already.
        case .readerSessionInvalidationErrorUserCanceled, .readerSessionInvalidationErrorSessionTerminatedUnexpectedly, nil:
            break
        case .readerErrorRadioDisabled:
            hindered(.chipsOff, error.localizedDescription)
        case .readerErrorUnsupportedFeature:
            hindered(.noChips, error.localizedDescription)
        default:
            hindered(.chipLost, error.localizedDescription)
        }
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
