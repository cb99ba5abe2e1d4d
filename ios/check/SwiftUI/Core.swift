// Stub of the part of SwiftUI (Xcode 16, iOS 18 SDK) that the app uses: no body runs.
@_exported import UIKit
@_exported import Observation
import UniformTypeIdentifiers

// MARK: protocols

@MainActor @preconcurrency public protocol View {
    associatedtype Body: View
    @ViewBuilder @MainActor @preconcurrency var body: Self.Body { get }
}
@MainActor @preconcurrency public protocol App {
    associatedtype Body: Scene
    @SceneBuilder @MainActor @preconcurrency var body: Self.Body { get }
    @MainActor @preconcurrency init()
}
@MainActor @preconcurrency public protocol Scene {
    associatedtype Body: Scene
    @SceneBuilder @MainActor @preconcurrency var body: Self.Body { get }
}
@MainActor @preconcurrency public protocol ToolbarContent {
    associatedtype Body: ToolbarContent
    @ToolbarContentBuilder @MainActor @preconcurrency var body: Self.Body { get }
}
extension App { @MainActor public static func main() {} }

extension Never: View {}
extension Never: Scene {}
extension Never: ToolbarContent {}
extension Never { @MainActor public var body: Never { fatalError() } }
extension View where Body == Never { @MainActor public var body: Never { fatalError() } }
extension Scene where Body == Never { @MainActor public var body: Never { fatalError() } }
extension ToolbarContent where Body == Never { @MainActor public var body: Never { fatalError() } }

public struct EmptyView: View { nonisolated public init() {}; public typealias Body = Never }
public struct TupleView<T>: View { nonisolated init() {}; public typealias Body = Never }
public struct _ConditionalContent<A, B> { nonisolated init() {} }
extension _ConditionalContent: View where A: View, B: View { public typealias Body = Never }
extension Optional: View where Wrapped: View { public typealias Body = Never }
public struct _Modified<Content: View>: View { nonisolated init() {}; public typealias Body = Never }
public struct _SceneOf<Content>: Scene { nonisolated init() {}; public typealias Body = Never }

@resultBuilder public struct ViewBuilder {
    public static func buildExpression<Content: View>(_ content: Content) -> Content { content }
    @available(*, unavailable, message: "this expression does not conform to 'View'")
    @_disfavoredOverload public static func buildExpression(_ invalid: Any) -> some View { EmptyView() }
    public static func buildBlock() -> EmptyView { EmptyView() }
    public static func buildBlock<Content: View>(_ content: Content) -> Content { content }
    @_disfavoredOverload public static func buildBlock<each Content: View>(_ content: repeat each Content) -> TupleView<(repeat each Content)> { .init() }
    public static func buildIf<Content: View>(_ content: Content?) -> Content? { content }
    public static func buildEither<T: View, F: View>(first: T) -> _ConditionalContent<T, F> { .init() }
    public static func buildEither<T: View, F: View>(second: F) -> _ConditionalContent<T, F> { .init() }
    public static func buildLimitedAvailability<Content: View>(_ content: Content) -> AnyView { fatalError() }
}
public struct AnyView: View { nonisolated public init<V: View>(_ view: V) {}; public typealias Body = Never }
@resultBuilder public struct SceneBuilder {
    public static func buildExpression<Content: Scene>(_ content: Content) -> Content { content }
    public static func buildBlock<Content: Scene>(_ content: Content) -> Content { content }
}
@resultBuilder public struct ToolbarContentBuilder {
    public static func buildExpression<Content: ToolbarContent>(_ content: Content) -> Content { content }
    public static func buildBlock<Content: ToolbarContent>(_ content: Content) -> Content { content }
}

// MARK: state

public protocol DynamicProperty {}

@propertyWrapper public struct State<Value>: DynamicProperty {
    public init(wrappedValue value: Value) {}
    public init(initialValue value: Value) {}
    public var wrappedValue: Value { get { fatalError() } nonmutating set { fatalError() } }
    public var projectedValue: Binding<Value> { fatalError() }
}
extension State where Value: ExpressibleByNilLiteral { public init() {} }
extension State: Sendable where Value: Sendable {}

@propertyWrapper @dynamicMemberLookup public struct Binding<Value> {
    // Xcode 16: @isolated(any) @Sendable, with the actor of the place where it stands. // unsure: @_inheritActorContext
    @preconcurrency public init(
        @_inheritActorContext get: @escaping @isolated(any) @Sendable () -> Value,
        @_inheritActorContext set: @escaping @isolated(any) @Sendable (Value) -> Void) {}
    @preconcurrency public init(
        @_inheritActorContext get: @escaping @isolated(any) @Sendable () -> Value,
        @_inheritActorContext set: @escaping @isolated(any) @Sendable (Value, Transaction) -> Void) {}
    public var wrappedValue: Value { get { fatalError() } nonmutating set { fatalError() } }
    public var projectedValue: Binding<Value> { self }
    public subscript<Subject>(dynamicMember keyPath: WritableKeyPath<Value, Subject>) -> Binding<Subject> { fatalError() }
    public init?(_ base: Binding<Value?>) { fatalError() }
    public static func constant(_ value: Value) -> Binding<Value> { fatalError() }
}
extension Binding: @unchecked Sendable where Value: Sendable {}
public struct Transaction {}

@propertyWrapper public struct FocusState<Value: Hashable>: DynamicProperty {
    @propertyWrapper public struct Binding {
        public var wrappedValue: Value { get { fatalError() } nonmutating set { fatalError() } }
        public var projectedValue: FocusState<Value>.Binding { self }
        private init(stub: Int) {}
    }
    public var wrappedValue: Value { get { fatalError() } nonmutating set { fatalError() } }
    public var projectedValue: FocusState<Value>.Binding { fatalError() }
    public init() where Value == Bool {}
    public init<T: Hashable>() where Value == T? {}
}

@propertyWrapper public struct AppStorage<Value>: DynamicProperty {
    public var wrappedValue: Value { get { fatalError() } nonmutating set { fatalError() } }
    public var projectedValue: Binding<Value> { fatalError() }
    init(stub: Int) {}
}
extension AppStorage {
    public init(wrappedValue: Value, _ key: String, store: UserDefaults? = nil) where Value == Bool { self.init(stub: 0) }
    public init(wrappedValue: Value, _ key: String, store: UserDefaults? = nil) where Value == Int { self.init(stub: 0) }
    public init(wrappedValue: Value, _ key: String, store: UserDefaults? = nil) where Value == String { self.init(stub: 0) }
}

public protocol EnvironmentKey {
    associatedtype Value
    static var defaultValue: Self.Value { get }
}
public struct EnvironmentValues {
    public init() {}
    public subscript<K: EnvironmentKey>(key: K.Type) -> K.Value { get { fatalError() } set { fatalError() } }
    public var dismiss: DismissAction { fatalError() }
    public var displayScale: CGFloat { get { fatalError() } set { fatalError() } }
    public var scenePhase: ScenePhase { get { fatalError() } set { fatalError() } }
}
public enum ScenePhase: Comparable, Hashable, Sendable { case background, inactive, active }
@propertyWrapper public struct Environment<Value>: DynamicProperty {
    public init(_ keyPath: KeyPath<EnvironmentValues, Value>) {}
    public var wrappedValue: Value { fatalError() }
}
extension Environment {
    public init(_ objectType: Value.Type) where Value: AnyObject, Value: Observable {}
}
@MainActor @preconcurrency public struct DismissAction { public func callAsFunction() {} }

// MARK: strings, colours, fonts, styles

public protocol _FormatSpecifiable: Equatable {}
extension Int: _FormatSpecifiable {}
extension Int8: _FormatSpecifiable {}
extension Int16: _FormatSpecifiable {}
extension Int32: _FormatSpecifiable {}
extension Int64: _FormatSpecifiable {}
extension UInt: _FormatSpecifiable {}
extension UInt8: _FormatSpecifiable {}
extension UInt16: _FormatSpecifiable {}
extension UInt32: _FormatSpecifiable {}
extension UInt64: _FormatSpecifiable {}
extension Float: _FormatSpecifiable {}
extension Double: _FormatSpecifiable {}
extension CGFloat: _FormatSpecifiable {}

public struct LocalizedStringKey: Equatable, ExpressibleByStringInterpolation {
    public init(_ value: String) {}
    public init(stringLiteral value: String) {}
    public init(stringInterpolation: StringInterpolation) {}
    public struct StringInterpolation: StringInterpolationProtocol {
        public init(literalCapacity: Int, interpolationCount: Int) {}
        public mutating func appendLiteral(_ literal: String) {}
        public mutating func appendInterpolation(_ string: String) {}
        public mutating func appendInterpolation<Subject: ReferenceConvertible>(_ subject: Subject, formatter: Formatter? = nil) {}
        public mutating func appendInterpolation<Subject: NSObject>(_ subject: Subject, formatter: Formatter? = nil) {}
        public mutating func appendInterpolation<T: _FormatSpecifiable>(_ value: T) {}
        public mutating func appendInterpolation<T: _FormatSpecifiable>(_ value: T, specifier: String) {}
        public mutating func appendInterpolation(_ text: Text) {}
        public mutating func appendInterpolation(_ image: Image) {}
        public mutating func appendInterpolation(_ attributedString: AttributedString) {}
    }
}

public protocol ShapeStyle: Sendable {}
public struct Color: Hashable, ShapeStyle, View, Sendable {
    public enum RGBColorSpace: Sendable { case sRGB, sRGBLinear, displayP3 }
    nonisolated public init(_ colorSpace: RGBColorSpace = .sRGB, red: Double, green: Double, blue: Double, opacity: Double = 1) {}
    nonisolated public static var primary: Color { fatalError() }
    nonisolated public static var white: Color { fatalError() }
    nonisolated public static var black: Color { fatalError() }
    public typealias Body = Never
}
public struct HierarchicalShapeStyle: ShapeStyle {}
extension ShapeStyle where Self == HierarchicalShapeStyle { public static var primary: HierarchicalShapeStyle { fatalError() } }
public struct BackgroundStyle: ShapeStyle {}
extension ShapeStyle where Self == BackgroundStyle { public static var background: BackgroundStyle { fatalError() } }
extension ShapeStyle where Self == Color {
    public static var white: Color { fatalError() }
    public static var black: Color { fatalError() }
}
public struct StrokeStyle: Equatable, Sendable {
    public init(lineWidth: CGFloat = 1, lineCap: CGLineCap = .butt, lineJoin: CGLineJoin = .miter, miterLimit: CGFloat = 10,
                dash: [CGFloat] = [CGFloat](), dashPhase: CGFloat = 0) {}
}
public struct FillStyle: Equatable, Sendable { public init(eoFill: Bool = false, antialiased: Bool = true) {} }

public struct Font: Hashable, Sendable {
    public struct Weight: Hashable, Sendable {
        public static let regular = Weight()
        public static let bold = Weight()
    }
    public enum Design: Hashable, Sendable { case `default`, monospaced }
    public static let title = Font()
    public static let title2 = Font()
    public static let title3 = Font()
    public static let body = Font()
    public static func system(size: CGFloat, weight: Font.Weight? = nil, design: Font.Design? = nil) -> Font { fatalError() }
    @_disfavoredOverload public static func system(size: CGFloat, weight: Font.Weight = .regular, design: Font.Design = .default) -> Font { fatalError() }
    public func bold() -> Font { self }
    public func monospaced() -> Font { self }
    public func weight(_ weight: Font.Weight) -> Font { self }
}

public struct HorizontalAlignment: Equatable, Sendable { public static let leading = Self(); public static let center = Self() }
public struct VerticalAlignment: Equatable, Sendable { public static let top = Self(); public static let center = Self() }
public struct Alignment: Equatable, Sendable { public static let leading = Self(); public static let center = Self() }
public struct UnitPoint: Hashable, Sendable { public static let center = Self(); public static let topLeading = Self() }
public struct Edge { public struct Set: OptionSet, Sendable {
    public let rawValue: Int8
    public init(rawValue: Int8) { self.rawValue = rawValue }
    public static let all = Set(rawValue: 15)
} }
public enum VerticalEdge: Int8, Sendable { case top, bottom }
public struct Axis { public struct Set: OptionSet, Sendable {
    public let rawValue: Int8
    public init(rawValue: Int8) { self.rawValue = rawValue }
    public static let horizontal = Set(rawValue: 1)
    public static let vertical = Set(rawValue: 2)
} }
public enum Visibility: Hashable, Sendable { case automatic, visible, hidden }
public struct AccessibilityTraits: SetAlgebra, Sendable {
    public init() {}
    public static let isHeader = AccessibilityTraits()
    public static let isSelected = AccessibilityTraits()
    public typealias Element = AccessibilityTraits
    public func contains(_ member: Self) -> Bool { fatalError() }
    public func union(_ other: Self) -> Self { fatalError() }
    public func intersection(_ other: Self) -> Self { fatalError() }
    public func symmetricDifference(_ other: Self) -> Self { fatalError() }
    @discardableResult public mutating func insert(_ m: Self) -> (inserted: Bool, memberAfterInsert: Self) { fatalError() }
    @discardableResult public mutating func remove(_ m: Self) -> Self? { fatalError() }
    @discardableResult public mutating func update(with m: Self) -> Self? { fatalError() }
    public mutating func formUnion(_ other: Self) {}
    public mutating func formIntersection(_ other: Self) {}
    public mutating func formSymmetricDifference(_ other: Self) {}
}
public struct AccessibilityChildBehavior: Hashable, Sendable { public static let ignore = Self(); public static let combine = Self() }
public struct ButtonRole: Equatable, Sendable { public static let cancel = Self(); public static let destructive = Self() }
public struct SubmitTriggers: OptionSet, Sendable {
    public let rawValue: Int
    public init(rawValue: Int) { self.rawValue = rawValue }
    public static let text = SubmitTriggers(rawValue: 1)
}
public struct TextInputAutocapitalization: Sendable { public static var characters: Self { fatalError() }; public static var never: Self { fatalError() } }
public enum RoundedCornerStyle: Sendable { case circular, continuous }
public enum ColorRenderingMode: Sendable { case nonLinear, linear, extendedLinear }

@MainActor @preconcurrency public protocol PrimitiveButtonStyle {}
public struct BorderlessButtonStyle: PrimitiveButtonStyle { nonisolated public init() {} }
extension PrimitiveButtonStyle where Self == BorderlessButtonStyle { @MainActor @preconcurrency public static var borderless: BorderlessButtonStyle { .init() } }
public struct BorderedButtonStyle: PrimitiveButtonStyle { nonisolated public init() {} }
extension PrimitiveButtonStyle where Self == BorderedButtonStyle { @MainActor @preconcurrency public static var bordered: BorderedButtonStyle { .init() } }

// CoreTransferable
public protocol Transferable {}
extension URL: Transferable {}
extension Data: Transferable {}
extension String: Transferable {}
extension Never: Transferable {}

// Accessibility framework, iOS 17. // unsure: whether SwiftUI re-exports it, and the list of inits
public enum AccessibilityNotification {
    public struct Announcement {
        public init(_ announcement: AttributedString) {}
        public init(_ announcement: String) {}
        public func post() {}
    }
}
