import AVFoundation
import HosewrightKit
import SwiftUI

/// The camera at the back: its picture on the screen, and its grey frames to the reader.
final class Camera: NSObject, AVCaptureVideoDataOutputSampleBufferDelegate, @unchecked Sendable {
    let session = AVCaptureSession()
    private let queue = DispatchQueue(label: "hosewright.frames")
    private let reader = FrameReader()
    private var device: AVCaptureDevice?
    private let seen: @MainActor ([String]) -> Void
    private let obstacle: @MainActor (Obstacle) -> Void

    init(seen: @escaping @MainActor ([String]) -> Void, obstacle: @escaping @MainActor (Obstacle) -> Void) {
        self.seen = seen
        self.obstacle = obstacle
    }

    /// Begins, and asks for leave where nobody has said yes or no yet.
    func open() {
        switch AVCaptureDevice.authorizationStatus(for: .video) {
        case .authorized:
            queue.async { self.begin() }
        case .notDetermined:
            AVCaptureDevice.requestAccess(for: .video) { granted in
                if granted { self.queue.async { self.begin() } } else { self.say(.cameraForbidden) }
            }
        default:
            say(.cameraForbidden)
        }
    }

    /// Gives the camera back.
    func close() {
        queue.async {
            self.session.stopRunning()
            self.reader.endFilm()
        }
    }

    /// Switches the light.
    func torch(_ on: Bool) {
        guard let device, device.hasTorch, (try? device.lockForConfiguration()) != nil else { return }
        device.torchMode = on ? .on : .off
        device.unlockForConfiguration()
    }

    private func begin() {
        if device == nil, !configure() { return }
        session.startRunning()
    }

    private func configure() -> Bool {
        guard let camera = AVCaptureDevice.default(.builtInWideAngleCamera, for: .video, position: .back) else {
            say(.noCamera)
            return false
        }
        let output = AVCaptureVideoDataOutput()
        // The first plane of this format is grey as it comes.
        output.videoSettings = [
            kCVPixelBufferPixelFormatTypeKey as String: kCVPixelFormatType_420YpCbCr8BiPlanarFullRange
        ]
        output.alwaysDiscardsLateVideoFrames = true
        output.setSampleBufferDelegate(self, queue: queue)
        session.beginConfiguration()
        defer { session.commitConfiguration() }
        session.sessionPreset = .hd1280x720
        guard let input = try? AVCaptureDeviceInput(device: camera), session.canAddInput(input),
            session.canAddOutput(output)
        else {
            say(.cameraBusy)
            return false
        }
        session.addInput(input)
        session.addOutput(output)
        device = camera
        return true
    }

    func captureOutput(
        _ output: AVCaptureOutput, didOutput sample: CMSampleBuffer, from connection: AVCaptureConnection
    ) {
        guard let pixels = CMSampleBufferGetImageBuffer(sample) else { return }
        CVPixelBufferLockBaseAddress(pixels, .readOnly)
        defer { CVPixelBufferUnlockBaseAddress(pixels, .readOnly) }
        guard let plane = CVPixelBufferGetBaseAddressOfPlane(pixels, 0) else { return }
        let texts = reader.read(
            plane: plane,
            width: CVPixelBufferGetWidthOfPlane(pixels, 0),
            height: CVPixelBufferGetHeightOfPlane(pixels, 0),
            stride: CVPixelBufferGetBytesPerRowOfPlane(pixels, 0)
        ).map(\.text)
        if texts.isEmpty { return }
        let seen = seen
        Task { @MainActor in seen(texts) }
    }

    private func say(_ what: Obstacle) {
        let obstacle = obstacle
        Task { @MainActor in obstacle(what) }
    }
}

/// The camera's picture.
struct CameraPicture: UIViewRepresentable {
    let session: AVCaptureSession

    final class Layered: UIView {
        override class var layerClass: AnyClass { AVCaptureVideoPreviewLayer.self }
    }

    func makeUIView(context: Context) -> Layered {
        let view = Layered()
        let layer = view.layer as? AVCaptureVideoPreviewLayer
        layer?.session = session
        layer?.videoGravity = .resizeAspectFill
        view.isAccessibilityElement = true
        view.accessibilityLabel = say.cameraPicture
        return view
    }

    func updateUIView(_ view: Layered, context: Context) {}
}
