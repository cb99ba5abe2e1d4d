// Stub of the part of CoreNFC that the app uses. None of it is Sendable or main-actor.
@_exported import Foundation
@_exported import Dispatch

public enum NFCTypeNameFormat: UInt8, Sendable { case empty, nfcWellKnown, media, absoluteURI, nfcExternal, unknown, unchanged }
open class NFCNDEFPayload: NSObject {
    open var typeNameFormat: NFCTypeNameFormat { get { fatalError() } set { fatalError() } }
    open var type: Data { get { fatalError() } set { fatalError() } }
    open var identifier: Data { get { fatalError() } set { fatalError() } }
    open var payload: Data { get { fatalError() } set { fatalError() } }
}
open class NFCNDEFMessage: NSObject {
    open var records: [NFCNDEFPayload] { get { fatalError() } set { fatalError() } }
    public convenience init?(data: Data) { fatalError() }
    public init(records: [NFCNDEFPayload]) { fatalError() }
}
public enum NFCNDEFStatus: UInt, Sendable { case notSupported = 1, readWrite, readOnly }

// SDK: methods with a completion handler, imported as async too. The importer treats
// them as run on the caller's actor, as `nonisolated(nonsending)` does. unsure for 6.0/6.1.
public protocol NFCNDEFTag: NSObjectProtocol {
    var isAvailable: Bool { get }
    nonisolated(nonsending) func queryNDEFStatus() async throws -> (NFCNDEFStatus, Int)
    nonisolated(nonsending) func readNDEF() async throws -> NFCNDEFMessage
    nonisolated(nonsending) func writeNDEF(_ ndefMessage: NFCNDEFMessage) async throws
}

public struct NFCReaderError: Error {
    public enum Code: Int, Sendable {
        case readerErrorUnsupportedFeature = 1
        case readerErrorRadioDisabled = 5
        case readerTransceiveErrorTagConnectionLost = 100
        case readerSessionInvalidationErrorUserCanceled = 200
        case readerSessionInvalidationErrorSessionTimeout
        case readerSessionInvalidationErrorSessionTerminatedUnexpectedly
        case readerSessionInvalidationErrorSystemIsBusy
        case ndefReaderSessionErrorTagNotWritable = 401
        case ndefReaderSessionErrorTagUpdateFailure = 402
        case ndefReaderSessionErrorTagSizeTooSmall = 400
        case ndefReaderSessionErrorZeroLengthMessage = 403
    }
    public var code: Code { fatalError() }
}

open class NFCReaderSession: NSObject {
    open class var readingAvailable: Bool { fatalError() }
    open var alertMessage: String { get { fatalError() } set { fatalError() } }
    open var isReady: Bool { fatalError() }
    open func begin() {}
    open func invalidate() {}
    open func invalidate(errorMessage: String) {}
}

public protocol NFCNDEFReaderSessionDelegate: NSObjectProtocol {
    func readerSession(_ session: NFCNDEFReaderSession, didInvalidateWithError error: any Error)
    func readerSession(_ session: NFCNDEFReaderSession, didDetectNDEFs messages: [NFCNDEFMessage])
    func readerSession(_ session: NFCNDEFReaderSession, didDetect tags: [any NFCNDEFTag]) // optional in ObjC
    func readerSessionDidBecomeActive(_ session: NFCNDEFReaderSession) // optional in ObjC
}
extension NFCNDEFReaderSessionDelegate {
    public func readerSession(_ session: NFCNDEFReaderSession, didDetect tags: [any NFCNDEFTag]) {}
    public func readerSessionDidBecomeActive(_ session: NFCNDEFReaderSession) {}
}

open class NFCNDEFReaderSession: NFCReaderSession {
    public init(delegate: any NFCNDEFReaderSessionDelegate, queue: DispatchQueue?, invalidateAfterFirstRead: Bool) { fatalError() }
    nonisolated(nonsending) open func connect(to tag: any NFCNDEFTag) async throws {}
    open func connect(to tag: any NFCNDEFTag, completionHandler: @escaping @Sendable ((any Error)?) -> Void) {} // unsure: @Sendable
    open func restartPolling() {}
}
