package org.hosewright.companion

import java.nio.ByteBuffer
import java.util.concurrent.CountDownLatch
import java.util.concurrent.LinkedBlockingQueue
import java.util.concurrent.TimeUnit
import java.util.concurrent.atomic.AtomicInteger
import org.hosewright.core.FilmReader
import org.hosewright.core.FilmReaderInterface
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Goes
import org.hosewright.core.Obstacle
import org.hosewright.core.RefusedException
import org.hosewright.core.SeenText
import org.hosewright.core.Touch
import org.hosewright.core.Verdict
import org.hosewright.core.Wanted
import org.hosewright.core.WayOn
import org.hosewright.core.obstacleShown
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class ScanTest {
    @Test
    fun `a frame with a tag becomes an answer, and is given back`(): Unit = Demo.shop().use { shop ->
        shop.phone().use { phone ->
            val seen = LinkedBlockingQueue<List<SeenText>>()
            val given = AtomicInteger()
            FrameReader({ it.run() }, { seen.add(it.texts) }, { throw AssertionError(it) }, ::TagEye).use { reader ->
                assertTrue(reader.offer(frameOf(Demo.photo) { given.incrementAndGet() }))
                val found = seen.poll(NEVER, TimeUnit.SECONDS)!!.single()
                assertEquals(4, found.corners.size)
                val scan = Scan(phone)
                scan.seen(found.text)
                assertEquals(found.text.substring(4, 8), scan.answer().code.substring(0, 4))
            }
            assertEquals(1, given.get())
        }
    }

    @Test
    fun `what a camera sees is answered once`(): Unit = Demo.shop().use { shop ->
        shop.phone().use { phone ->
            val scan = Scan(phone)
            val texts = frameOf(Demo.photo).read().toTypedArray()
            assertTrue(texts.single().startsWith("HW1:"), texts.toList().toString())
            scan.screen.frame(texts.toList())
            scan.screen.frame(texts.toList())
            phone.settle(scan.screen)
            scan.seen(*texts)
            assertEquals(1, scan.followed.size)
            // Back from the answer, the tag is still in sight: it does not open it again.
            scan.go(Touch.Look)
            scan.seen(*texts)
            assertEquals(1, scan.followed.size)
            // It was away, and comes again.
            repeat(15) { scan.seen() }
            scan.seen(*texts)
            assertEquals(2, scan.followed.size)
        }
    }

    @Test
    fun `a scan for a swap passes over other people's codes, and of two tags the person chooses`(): Unit = Shop().use { shop ->
        val (one, two) = shop.hose() to shop.hose()
        fun tag(code: String) = "HW1:${code.replace("-", "")}."
        shop.phone().use { phone ->
            val scan = Scan(phone, Wanted.HOSE)
            scan.seen("https://example.org")
            assertTrue(scan.trouble!!.words.contains("not a Hosewright tag"))
            scan.seen(tag(one), tag(two))
            assertEquals(setOf(one, two), scan.trouble!!.near.map { it.code }.toSet())
            assertEquals(emptyList<Follows>(), scan.followed)
            scan.typed(two)
            assertEquals(listOf<Follows>(Follows.Found(two)), scan.followed)
            // Before the page is gone, nothing more is taken.
            scan.seen(tag(one))
            assertEquals(1, scan.followed.size)
        }
    }

    @Test
    fun `an answer has all that its screen shows`(): Unit = Shop().use { shop ->
        shop.done("set new Heron --use personal --ports HP:7/16-20=1,LP:3/8-24=4")
        val code = shop.fitted("Heron", "LP1")
        shop.done("inspect $code --kind quick --finding run:cut:cover")
        shop.phone().use { phone ->
            val answer = phone.scan(code.lowercase().replace("-", " "))
            assertEquals(Verdict.WATCH, answer.verdict)
            assertEquals("watch", answer.word)
            assertEquals(code, answer.code)
            assertTrue(Goes.Set("Heron") in answer.actions.map { it.goes })
            assertTrue(answer.reasons.single().words.contains("a cut in the cover"))
            assertTrue(answer.reasons.single().todo.isNotEmpty())
            assertEquals(Goes.Form(FormOf.Hose(code, "quick-look")), answer.next.goes)
            assertTrue(answer.spoken.startsWith("WATCH. "))
            assertTrue(answer.caution.contains("does not test the hose"))
            for (line in listOf(answer.age, answer.dives, answer.place, answer.record, answer.hose)) {
                assertTrue(line.isNotBlank())
            }
        }
    }

    @Test
    fun `a tag without a record here is never ready`(): Unit = Shop().use { other ->
        val code = other.hose()
        other.done("tag $code --out tag.png")
        Shop().use { shop ->
            shop.phone().use { phone ->
                val texts = frameOf(other.path("tag.png")).read()
                val scan = Scan(phone)
                scan.seen(*texts.toTypedArray())
                val answer = scan.answer()
                assertEquals(Verdict.HOLD, answer.verdict)
                assertEquals("Not known here: ask before you dive it.", answer.meaning)
                val claims = listOf("ready", "may be dived", "in stock", "0 dives", "none on record")
                val said = with(answer) { listOf(word, meaning, dives, place, age, record, spoken) + inspections + due }
                for (claim in claims) assertTrue(said.none { claim in it.lowercase() }, "$claim: $said")
                assertFalse(answer.onRecord)
                assertEquals(Goes.ImportRecord, answer.next.goes)
            }
        }
    }

    @Test
    fun `a slip names the hoses that come near`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        val slip = if (code[0] == '0') "1" + code.drop(1) else "0" + code.drop(1)
        shop.phone().use { phone ->
            val scan = Scan(phone)
            scan.typed(slip)
            val near = scan.trouble!!.near.single()
            assertEquals(code, near.code)
            assertTrue(near.words.contains(code))
            scan.typed(near.code)
            assertNull(scan.trouble)
            assertEquals(code, scan.answer().code)
        }
    }

    @Test
    fun `other people's codes are said to be that`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val scan = Scan(phone)
            scan.seen("https://example.org")
            val said = scan.trouble!!
            assertTrue(said.words.contains("not a Hosewright tag"), said.words)
            // As long as it is in sight it is said once; typed, it is said again.
            scan.seen("https://example.org")
            assertEquals(said.number, scan.trouble!!.number)
            scan.typed("https://example.org")
            assertTrue(scan.trouble!!.number > said.number)
        }
    }

    @Test
    fun `each obstacle of a phone has words and a way on`() {
        val said = mutableSetOf<String>()
        for (obstacle in Obstacle.entries) {
            val trouble = obstacleShown(obstacle)
            assertTrue(trouble.words.length > 20 && trouble.todo.length > 10, "$obstacle")
            assertTrue(trouble.waysOn.isNotEmpty() && trouble.waysOn.all { it.words.isNotBlank() })
            assertTrue(said.add(trouble.words), "$obstacle says what another says")
        }
        fun ways(obstacle: Obstacle) = obstacleShown(obstacle).waysOn.map { it.way }
        assertEquals(listOf(WayOn.ASK, WayOn.TYPE_CODE), ways(Obstacle.CAMERA_REFUSED))
        assertEquals(listOf(WayOn.APP_SETTINGS, WayOn.TYPE_CODE), ways(Obstacle.CAMERA_FORBIDDEN))
        assertEquals(listOf(WayOn.TYPE_CODE), ways(Obstacle.NO_CAMERA))
        assertEquals(WayOn.CHIP_SETTINGS, ways(Obstacle.CHIPS_OFF).first())
        assertEquals(WayOn.STORAGE_SETTINGS, ways(Obstacle.STORAGE_FULL).first())
        assertEquals(listOf(WayOn.TRY_AGAIN), ways(Obstacle.STORE_IN_USE))
    }

    @Test
    fun `without a camera the code is typed`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val scan = Scan(phone)
            scan.go(Touch.Hindered(Obstacle.CAMERA_REFUSED, null))
            assertEquals(Obstacle.CAMERA_REFUSED, scan.trouble!!.obstacle)
            // Five characters at least, and a hyphen among them.
            scan.typed(code.take(5))
            assertEquals(emptyList<Follows>(), scan.followed)
            assertTrue(scan.trouble!!.words.isNotBlank())
            scan.typed(code.take(6))
            assertNull(scan.trouble)
            assertEquals(code, scan.answer().code)
        }
    }

    @Test
    fun `frames that come too fast are given back unread`() {
        val given = AtomicInteger()
        val hold = CountDownLatch(1)
        val slow = Frame(ByteBuffer.allocateDirect(1280 * 720), 1280, 720, 1280) {
            hold.await()
            given.incrementAndGet()
        }
        FrameReader({ it.run() }, {}, {}, ::TagEye).use { reader ->
            assertTrue(reader.offer(slow))
            repeat(20) { assertFalse(reader.offer(Frame(ByteBuffer.allocateDirect(4), 2, 2, 2) { given.incrementAndGet() })) }
            assertEquals(20, given.get())
            hold.countDown()
        }
    }

    @Test
    fun `the camera's memory is closed after the frame that is read`() {
        val order = LinkedBlockingQueue<String>()
        val hold = CountDownLatch(1)
        val slow = Frame(ByteBuffer.allocateDirect(64 * 64), 64, 64, 64) {
            hold.await()
            order.add("frame")
        }
        val reader = FrameReader({ it.run() }, {}, {}, ::TagEye)
        assertTrue(reader.offer(slow))
        reader.afterwards { order.add("memory") }
        hold.countDown()
        reader.close()
        reader.afterwards { order.add("late") }
        assertEquals(listOf("frame", "memory", "late"), order.toList())
    }

    @Test
    fun `a film is followed from frame to frame, and ends with its camera`() {
        val seen = LinkedBlockingQueue<List<SeenText>>()
        val begun = AtomicInteger()
        val ended = AtomicInteger()
        val reader = FrameReader({ it.run() }, { seen.add(it.texts) }, { throw AssertionError(it) }) {
            begun.incrementAndGet()
            TagEye(Watched(ended))
        }
        fun film(frames: Int) = repeat(frames) { at ->
            // Each frame is a little further down than the one before.
            val frame = shifted(frameOf(Demo.photo), at)
            while (!reader.offer(frame)) Thread.sleep(5)
            assertTrue(seen.poll(NEVER, TimeUnit.SECONDS)!!.single().text.startsWith("HW1:"), "frame $at")
        }
        film(5)
        assertEquals(1, begun.get())
        reader.endFilm()
        film(2)
        assertEquals(2, begun.get())
        assertEquals(1, ended.get())
        reader.close()
        reader.close()
        reader.endFilm()
        reader.afterwards { assertEquals(2, ended.get()) }
        assertFalse(reader.offer(frameOf(Demo.photo)))
    }

    @Test
    fun `a film that is closed while its frame is read reads it to the end`() {
        val film = FilmReader()
        val frame = frameOf(Demo.photo)
        val texts = LinkedBlockingQueue<Result<List<String>>>()
        // One, as a camera has: a reader goes once no call is in it, and several could keep it for ever.
        val reader = Thread {
            do {
                val read = runCatching { frame.read(film) }
                texts.add(read)
            } while (read.isSuccess)
        }
        reader.start()
        assertTrue(texts.poll(NEVER, TimeUnit.SECONDS)!!.getOrThrow().single().startsWith("HW1:"))
        film.close()
        reader.join(NEVER * 1000)
        val (read, refused) = texts.partition { it.isSuccess }
        assertTrue(read.all { it.getOrThrow().size == 1 })
        assertTrue(refused.single().exceptionOrNull() is IllegalStateException, refused.toString())
        film.close()
    }

    @Test
    fun `a frame that cannot be one is refused in words`() {
        val said = LinkedBlockingQueue<Throwable>()
        FrameReader({ it.run() }, {}, { said.add(it) }, ::TagEye).use { reader ->
            reader.offer(Frame(ByteBuffer.allocateDirect(10), 100, 100, 100) {})
            assertTrue((said.poll(NEVER, TimeUnit.SECONDS) as RefusedException.Input).words.contains("bytes"))
            // A buffer of the JVM's own cannot cross; that is a fault, and no crash.
            while (!reader.offer(Frame(ByteBuffer.allocate(4), 2, 2, 2) {})) Thread.sleep(5)
            assertTrue(said.poll(NEVER, TimeUnit.SECONDS) is IllegalArgumentException)
        }
    }
}

/** A film whose end is counted. */
private class Watched(private val ended: AtomicInteger, private val film: FilmReader = FilmReader()) :
    FilmReaderInterface by film, AutoCloseable {
    override fun close() {
        film.close()
        ended.incrementAndGet()
    }
}

/** The same picture so many rows further down, in a buffer of its own. */
private fun shifted(frame: Frame, rows: Int): Frame {
    val luma = ByteBuffer.allocateDirect(frame.luma.capacity())
    for (at in 0 until luma.capacity()) luma.put(at, frame.luma[maxOf(at - rows * frame.stride, at % frame.stride)])
    return Frame(luma, frame.width, frame.height, frame.stride) {}
}

/** What is read of a frame that is a film of its own. */
fun Frame.read(): List<String> = FilmReader().use { read(it) }

fun Frame.read(film: FilmReaderInterface): List<String> =
    film.read(luma, width.toUInt(), height.toUInt(), stride.toUInt()).map { it.text }
