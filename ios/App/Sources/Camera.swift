import AVFoundation
import HosewrightKit
import SwiftUI

/// The camera at the back: its picture on the screen, and its grey frames to the reader.
/// There is one, whatever pages lie over each other: the page that opened it last has it,
/// and the one below gets it back.
nonisolated final class Camera: NSObject, AVCaptureVideoDataOutputSampleBufferDelegate, @unchecked Sendable {
    static let own = Camera()

    let session = AVCaptureSession()
    private let queue = DispatchQueue(label: "hosewright.frames")
    /// All below is touched on the queue alone.
    private let reader = FrameReader()
    /// What looks at frames in its place, where a film is watched.
    private var eye: FilmEye?
    private var device: AVCaptureDevice?
    private var watches = false
    @MainActor private var pages: [(screen: Screen, eye: FilmEye?)] = []

    private override init() { super.init() }

    /// Begins for a page, and asks for leave where nobody has said yes or no yet. Tags are
    /// read, or another screen's film is watched.
    @MainActor func open(for page: Screen, watching eye: FilmEye? = nil) {
        pages.removeAll { $0.screen === page }
        pages.append((page, eye))
        queue.async { self.eye = eye }
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

    /// A page gives it back.
    @MainActor func close(for page: Screen) {
        pages.removeAll { $0.screen === page }
        if let below = pages.last {
            queue.async { self.eye = below.eye }
            return
        }
        queue.async {
            self.session.stopRunning()
            self.reader.endFilm()
        }
    }

    /// Switches the light.
    func torch(_ on: Bool) {
        set { if $0.hasTorch { $0.torchMode = on ? .on : .off } }
    }

    /// Shows things so many times nearer.
    func zoom(_ times: CGFloat) {
        set { $0.videoZoomFactor = min(times, $0.activeFormat.videoMaxZoomFactor) }
    }

    /// Makes the picture two stops darker, which takes away glare, or as it is by itself.
    func darker(_ yes: Bool) {
        set { $0.setExposureTargetBias(yes ? max(-2, $0.minExposureTargetBias) : 0) }
    }

    /// Makes a place of the picture sharp, and takes its light.
    func focus(at place: CGPoint) {
        set {
            if $0.isFocusPointOfInterestSupported, $0.isFocusModeSupported(.autoFocus) {
                $0.focusPointOfInterest = place
                $0.focusMode = .autoFocus
            }
            if $0.isExposurePointOfInterestSupported {
                $0.exposurePointOfInterest = place
                $0.exposureMode = .continuousAutoExposure
            }
        }
    }

    private func set(_ change: @escaping @Sendable (AVCaptureDevice) -> Void) {
        queue.async {
            guard let device = self.device, (try? device.lockForConfiguration()) != nil else { return }
            change(device)
            device.unlockForConfiguration()
        }
    }

    private func begin() {
        watch()
        if device == nil, !configure() { return }
        session.startRunning()
    }

    /// Another app may take the camera, and it may fail: both are said, and "Try again"
    /// begins it anew. What the system itself ends, the system itself begins again.
    private func watch() {
        if watches { return }
        watches = true
        for name in [AVCaptureSession.wasInterruptedNotification, AVCaptureSession.runtimeErrorNotification] {
            _ = NotificationCenter.default.addObserver(forName: name, object: session, queue: nil) { [weak self] _ in
                self?.say(.cameraBusy)
            }
        }
        _ = NotificationCenter.default.addObserver(
            forName: AVCaptureSession.interruptionEndedNotification, object: session, queue: nil
        ) { [weak self] _ in
            self?.tell { $0.touch(.dismiss) }
        }
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
        let (width, height) = (CVPixelBufferGetWidthOfPlane(pixels, 0), CVPixelBufferGetHeightOfPlane(pixels, 0))
        let stride = CVPixelBufferGetBytesPerRowOfPlane(pixels, 0)
        if let eye {
            if let seen = eye.see(plane: plane, width: width, height: height, stride: stride) { tell { $0.watched(seen) } }
            return
        }
        let texts = reader.read(plane: plane, width: width, height: height, stride: stride).map(\.text)
        let hint = reader.hint
        tell {
            $0.frame(texts)
            $0.hinted(hint)
        }
    }

    private func say(_ what: Obstacle) {
        tell { $0.hindered(what) }
    }

    /// Tells the page that has it something.
    private func tell(_ what: @escaping @MainActor @Sendable (Screen) -> Void) {
        DispatchQueue.main.async { MainActor.assumeIsolated { if let page = self.pages.last { what(page.screen) } } }
    }
}

/// The camera's picture.
struct CameraPicture: UIViewRepresentable {
    let session: AVCaptureSession

    final class Layered: UIView {
        override class var layerClass: AnyClass { AVCaptureVideoPreviewLayer.self }

        /// A touch on the picture makes that place sharp.
        override func touchesEnded(_ touches: Set<UITouch>, with event: UIEvent?) {
            guard let touch = touches.first, let layer = layer as? AVCaptureVideoPreviewLayer else { return }
            Camera.own.focus(at: layer.captureDevicePointConverted(fromLayerPoint: touch.location(in: self)))
        }
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
