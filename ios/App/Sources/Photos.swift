import HosewrightKit
import PhotosUI
import SwiftUI

/// A photo of what was found: taken with the camera, or chosen of those that are on the
/// phone, which needs no leave. What is kept of it the core decides.
struct PhotoField: View {
    let desk: Desk
    let screen: Screen
    let field: FieldShown
    /// What stands over it already.
    let title: String
    @State private var item: PhotosPickerItem?
    @State private var takes = false

    var body: some View {
        VStack(alignment: .leading, spacing: 12) {
            if field.label != title { Text(field.label).bold() }
            if let photo = UIImage(contentsOfFile: field.value) {
                Image(uiImage: photo).resizable().scaledToFit().accessibilityLabel(field.label)
                LargeButton(words: say.leavePhoto) { screen.touch(.photograph(field: field.name, path: nil)) }
            } else {
                if let hint = field.hint { Text(hint) }
                if UIImagePickerController.isSourceTypeAvailable(.camera) {
                    LargeButton(words: say.takePhoto) { takes = true }
                }
                PhotosPicker(selection: $item, matching: .images) {
                    Text(say.choosePhoto).font(.title3).frame(maxWidth: .infinity, minHeight: 56)
                }
                .buttonStyle(.bordered)
                .tint(.primary)
            }
        }
        .onChange(of: item) { _, chosen in
            guard let chosen else { return }
            item = nil
            Task {
                if let photo = try? await chosen.loadTransferable(type: Data.self) { keep(photo) } else { failed() }
            }
        }
        .fullScreenCover(isPresented: $takes) {
            Still { photo in
                takes = false
                // Given up, there is none, and nothing is to be said.
                guard let photo else { return }
                if let bytes = photo.jpegData(compressionQuality: 0.95) { keep(bytes) } else { failed() }
            }
        }
    }

    private func failed() { screen.hindered(.photoFailed) }

    /// Hands over a copy of this app's own. The core reads JPEG and PNG; of another kind it
    /// gets what this phone makes of it.
    private func keep(_ bytes: Data) {
        let (screen, name) = (screen, field.name)
        let make: @Sendable () -> URL? = {
            let known = bytes.starts(with: [0xFF, 0xD8]) || bytes.starts(with: [0x89, 0x50])
            guard let photo = known ? bytes : UIImage(data: bytes)?.jpegData(compressionQuality: 0.95) else { return nil }
            return Received.keep(photo, as: "photo-\(UUID().uuidString).jpg")
        }
        desk.beside(make) { file in
            if let file { screen.touch(.photograph(field: name, path: file.path)) } else { screen.hindered(.photoFailed) }
        }
    }
}

/// One picture of the camera, by the system's own page.
private struct Still: UIViewControllerRepresentable {
    let taken: @MainActor (UIImage?) -> Void

    final class Coordinator: NSObject, UIImagePickerControllerDelegate, UINavigationControllerDelegate {
        let taken: @MainActor (UIImage?) -> Void

        init(taken: @escaping @MainActor (UIImage?) -> Void) { self.taken = taken }

        func imagePickerController(
            _ picker: UIImagePickerController, didFinishPickingMediaWithInfo info: [UIImagePickerController.InfoKey: Any]
        ) {
            taken(info[.originalImage] as? UIImage)
        }

        func imagePickerControllerDidCancel(_ picker: UIImagePickerController) { taken(nil) }
    }

    func makeCoordinator() -> Coordinator { Coordinator(taken: taken) }

    func makeUIViewController(context: Context) -> UIImagePickerController {
        let picker = UIImagePickerController()
        picker.sourceType = .camera
        picker.delegate = context.coordinator
        return picker
    }

    func updateUIViewController(_ picker: UIImagePickerController, context: Context) {}
}
