package org.hosewright.companion

import java.nio.ByteBuffer
import java.nio.file.Files
import java.nio.file.Path
import java.nio.file.Paths
import java.util.concurrent.Executor
import java.util.concurrent.LinkedBlockingQueue
import java.util.concurrent.TimeUnit
import javax.imageio.ImageIO
import org.hosewright.core.Moment
import org.hosewright.core.Place
import org.hosewright.door.Door
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.fail

/** The day on which the tests play. */
const val TODAY = "2026-06-15"

/** What has not come in so many seconds never will, however busy the machine is: a test fails instead of hanging. */
const val NEVER = 600L

/** A folder with a record, written by the command line and read by the phone. */
class Shop(private val folder: Path = Files.createTempDirectory("hosewright")) : AutoCloseable {
    val store: Path = folder.resolve("record.hosewright")
    private val keys: Path = folder.resolve("keys")
    private val phoneKeys: Path = folder.resolve("phone-keys")

    /** What the command line said: its exit code and its output. */
    data class Said(val code: Int, val out: String, val err: String)

    fun path(name: String): Path = folder.resolve(name)

    /** Runs the command line. */
    fun run(vararg typed: String, today: String = TODAY, record: Path = store): Said {
        val command = listOf(BINARY.toString(), "--today", today) + typed
        val out = Files.createTempFile(folder, "out", ".txt").toFile()
        val err = Files.createTempFile(folder, "err", ".txt").toFile()
        val building = ProcessBuilder(command).directory(folder.toFile()).redirectOutput(out).redirectError(err)
        val around = building.environment()
        around.remove("HOSEWRIGHT_SEED")
        around["HOSEWRIGHT_BY"] = "bench"
        around["HOSEWRIGHT_STORE"] = record.toString()
        around["HOSEWRIGHT_KEYS"] = keys.toString()
        around["NO_COLOR"] = "1"
        val process = building.start()
        process.outputStream.close()
        val code = process.waitFor()
        return Said(code, out.readText(), err.readText()).also {
            out.delete()
            err.delete()
        }
    }

    /** Runs a command that must succeed, and gives its first line. */
    fun done(line: String): String {
        val said = run(*line.split(" ").toTypedArray())
        assertEquals(0, said.code, "$line\n${said.out}${said.err}")
        return said.out.lines().first()
    }

    fun hose(): String =
        done("register --service second-stage --construction braided --length 22in --end-a 3/8-24 " +
            "--end-b 9/16-18 --made 2024-03 --maker Kelpline --lot B17")

    /** A hose that nothing is known against, in a port of a set. */
    fun fitted(set: String, port: String): String {
        val code = hose()
        done("inspect $code --kind full")
        done("fit $code --set $set --port $port")
        done("inspect $code --kind leak-test --passed --pressure 150bar")
        return code
    }

    /** The counter of this record, open to the network. */
    fun door() = Door(
        BINARY.toString(), TODAY,
        mapOf("HOSEWRIGHT_BY" to "bench", "HOSEWRIGHT_STORE" to store.toString(), "HOSEWRIGHT_KEYS" to keys.toString()),
    )

    fun place() = Place(store.toString(), phoneKeys.toString())

    /** A phone at this record, whose thread of screens is the test's own; nobody gave it a name yet if it is `nameless`. */
    fun phone(nameless: Boolean = false) = Phone(place(), nameless)

    override fun close() {
        folder.toFile().deleteRecursively()
    }

    companion object {
        /** The command line, built before these tests. */
        val BINARY: Path = Paths.get(System.getProperty("hosewright.binary")).toAbsolutePath().normalize()
    }
}

/** A phone whose thread of screens is the test: what it is told waits for [settle]. */
class Phone(place: Place, nameless: Boolean) : AutoCloseable {
    private val told = LinkedBlockingQueue<Runnable>()
    val main = Executor { told.add(it) }
    val desk = Desk(place, { TODAY }, main)

    init {
        if (!nameless) {
            // As a person who was asked once: the first form that is saved asks.
            val drafts = java.io.File("${place.store}.drafts").apply { mkdirs() }
            java.io.File(drafts, NAME).writeText("\"phone\"")
        }
    }

    /** Runs what the screens were told until none is asking any more. */
    fun settle(screen: Screen): Screen {
        while (screen.asking > 0) {
            val next = told.poll(NEVER, TimeUnit.SECONDS) ?: fail("a screen waits for ever")
            next.run()
        }
        return screen
    }

    /** Runs what the screens were told by now. */
    fun pending() {
        while (true) (told.poll() ?: return).run()
    }

    /** Runs what the screens are told until something has come. */
    fun until(come: () -> Boolean) {
        while (!come()) next()
    }

    /** Runs one thing that a screen is told. */
    fun next() = (told.poll(NEVER, TimeUnit.SECONDS) ?: fail("nothing was told")).run()

    override fun close() {
        desk.close()
        desk.awaitClosed(NEVER)
    }
}

/** The file that has the phone's name: named as every draft is, by a hash of what it is. */
private val NAME: String =
    java.security.MessageDigest.getInstance("SHA-256").digest("name".toByteArray()).take(16).joinToString("") { "%02x".format(it) } + ".json"

val MOMENT = Moment(TODAY, "phone")

/** A picture as a camera hands it over: grey, in direct memory, rows longer than wide. */
fun frameOf(picture: Path, padding: Int = 24, closed: () -> Unit = {}): Frame {
    val image = ImageIO.read(picture.toFile())
    val stride = image.width + padding
    // The last row has no filling behind it, as on phones.
    val luma = ByteBuffer.allocateDirect(stride * (image.height - 1) + image.width)
    for (y in 0 until image.height) {
        for (x in 0 until image.width) {
            val rgb = image.getRGB(x, y)
            val grey = (299 * (rgb shr 16 and 255) + 587 * (rgb shr 8 and 255) + 114 * (rgb and 255)) / 1000
            luma.put(y * stride + x, grey.toByte())
        }
    }
    return Frame(luma, image.width, image.height, stride, closed)
}

/** The demonstration's record and photo, made once. */
object Demo {
    val folder: Path by lazy {
        val folder = Files.createTempDirectory("hosewright-demo")
        Runtime.getRuntime().addShutdownHook(Thread { folder.toFile().deleteRecursively() })
        val process = ProcessBuilder(Shop.BINARY.toString(), "demo", folder.resolve("demo").toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("said.txt").toFile())
            .start()
        assertEquals(0, process.waitFor(), folder.resolve("said.txt").toFile().readText())
        folder.resolve("demo")
    }

    /** A shop with a copy of the record. */
    fun shop(): Shop {
        val shop = Shop()
        Files.copy(folder.resolve("fleet.hosewright"), shop.store)
        return shop
    }

    val photo: Path get() = folder.resolve("photo.png")
}
