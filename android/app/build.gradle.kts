plugins {
    // Its Kotlin is the one that the build above pins.
    id("com.android.application")
}

/** The processors for which there is a library, as Cargo names the folders. */
val processors = listOf("arm64-v8a", "armeabi-v7a", "x86_64")

/** A file, its alias and its pass words, from gradle.properties or -P; none for a debug build. */
fun signing(name: String) = providers.gradleProperty("hosewright.signing.$name").orNull

android {
    namespace = "org.hosewright.app"
    compileSdk = 36

    defaultConfig {
        // The name that stands on chips; core/src/tag/ndef has it too.
        applicationId = "org.hosewright.companion"
        minSdk = 26
        targetSdk = 36
        versionCode = 1
        versionName = "0.1.0"
        // JNA brings more than the core is built for.
        ndk { abiFilters += processors }
    }

    // The screens' logic and the generated bindings are plain Kotlin beside the app.
    sourceSets["main"].kotlin.directories += listOf(
        "../companion/src/main/kotlin",
        "../companion/src/generated/kotlin",
    )

    signing("file")?.let { keys ->
        signingConfigs.create("own") {
            storeFile = rootProject.file(keys)
            storePassword = signing("password")
            keyAlias = signing("alias")
            keyPassword = signing("keyPassword") ?: signing("password")
        }
    }

    buildTypes {
        release {
            isMinifyEnabled = true
            proguardFiles(getDefaultProguardFile("proguard-android-optimize.txt"), "keep.pro")
            signingConfig = signingConfigs.findByName("own")
        }
    }

    compileOptions {
        sourceCompatibility = JavaVersion.VERSION_17
        targetCompatibility = JavaVersion.VERSION_17
    }
}

// Without the core the app would be built, installed, and end as it is opened.
val library = tasks.register("library") {
    val places = processors.map { layout.projectDirectory.file("src/main/jniLibs/$it/libhosewright_mobile.so").asFile }
    doLast {
        val missing = places.filterNot { it.isFile }
        if (missing.isNotEmpty()) {
            throw GradleException(
                "The core is not built for ${missing.joinToString { it.parentFile.name }}. " +
                    "Build it first, as README says under \"On phones\".",
            )
        }
    }
}
tasks.named("preBuild") { dependsOn(library) }

dependencies {
    // 5.17 or newer is aligned to pages of 16 KB.
    implementation("net.java.dev.jna:jna:5.19.1@aar")
}
