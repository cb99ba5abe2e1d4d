// Stub of the part of PhotosUI (Xcode 16, iOS 18 SDK) that the app uses.
import SwiftUI

public struct PHPickerFilter: Equatable, Sendable {
    public static let images = PHPickerFilter()
}

// iOS 16. Sendable as it is documented.
public struct PhotosPickerItem: Equatable, Hashable, Sendable {
    public func loadTransferable<T: Transferable & Sendable>(type: T.Type) async throws -> T? { fatalError() }
}

@MainActor @preconcurrency public struct PhotosPicker<Label: View>: View {
    public typealias Body = Never
    nonisolated public init(selection: Binding<PhotosPickerItem?>, matching filter: PHPickerFilter? = nil, @ViewBuilder label: () -> Label) {}
}
