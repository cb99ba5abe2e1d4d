// swift-tools-version: 6.0
import PackageDescription

// HosewrightCore is generated and never edited. What it calls is made by
// `ios/build-xcframework` on a Mac; on Linux, where `ios/test` runs the screens,
// it is the library that cargo builds there.
#if os(Linux)
let library = Target.systemLibrary(name: "HosewrightCoreFFI", path: "Linux")
#else
let library = Target.binaryTarget(name: "HosewrightCoreFFI", path: "HosewrightCoreFFI.xcframework")
#endif

let package = Package(
    name: "HosewrightKit",
    // The Mac is where the screens are tested, and no more.
    platforms: [.iOS(.v17), .macOS(.v14)],
    products: [
        .library(name: "HosewrightKit", targets: ["HosewrightKit"])
    ],
    targets: [
        library,
        .target(name: "HosewrightCore", dependencies: ["HosewrightCoreFFI"]),
        .target(name: "HosewrightKit", dependencies: ["HosewrightCore"]),
        .testTarget(name: "HosewrightKitTests", dependencies: ["HosewrightKit"]),
    ]
)
