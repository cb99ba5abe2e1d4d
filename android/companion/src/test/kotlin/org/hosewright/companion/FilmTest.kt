package org.hosewright.companion

import java.nio.ByteBuffer
import java.util.concurrent.LinkedBlockingQueue
import java.util.concurrent.TimeUnit
import org.hosewright.core.FilmOf
import org.hosewright.core.FilmSeen
import org.hosewright.core.Follows
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

/** One phone's screen before another's camera. */
class FilmTest {
    /** What a camera sees of a frame: [PIXELS] pixels a module, with the quiet around it. */
    private fun seen(frame: FilmFrame): Frame {
        val side = (frame.side + 2 * QUIET) * PIXELS
        val luma = ByteBuffer.allocateDirect(side * side)
        for (at in 0 until side * side) {
            val (x, y) = at % side / PIXELS - QUIET to at / side / PIXELS - QUIET
            val dark = x in 0 until frame.side && y in 0 until frame.side && frame.isDark(x, y)
            luma.put(at, if (dark) 20 else 235.toByte())
        }
        return Frame(luma, side, side, side) {}
    }

    private fun Phone.shows(film: FilmOf) = page(PageOf.Show(film, calm = false))

    private fun Phone.go(screen: Screen, touch: Touch) {
        screen.touch(touch)
        settle(screen)
    }

    /** The next frame, once it is made. */
    private fun Phone.next(projector: Projector): FilmFrame {
        while (true) projector.next()?.let { return it } ?: next()
    }

    /** Shows frames to a camera, every third of them lost, until [enough]. */
    private fun show(from: Phone, film: Projector, to: Phone, screen: Screen, enough: (FilmSeen) -> Boolean) {
        val came = LinkedBlockingQueue<Any>()
        FrameReader(to.main, { seen: FilmSeen? -> screen.watched(seen).also { came.add(seen!!) } }, { came.add(it) }, screen::eye).use { reader ->
            for (at in 0..MOST) {
                val frame = from.next(film)
                if (at % 3 == 2) continue
                while (!reader.offer(seen(frame))) Thread.sleep(1)
                while (came.isEmpty()) to.next()
                val seen = came.poll(NEVER, TimeUnit.SECONDS)
                if (enough(seen as FilmSeen)) return to.settle(screen).let {}
            }
        }
        throw AssertionError("the film is not enough")
    }

    private val whole: (FilmSeen) -> Boolean = { it.touch == Touch.FilmSeen }

    @Test
    fun `two phones have the same once each has watched the other`(): Unit = Shop().use { one ->
        val code = one.hose()
        Shop().use { two ->
            val other = two.hose()
            one.phone().use { first ->
                two.phone().use { second ->
                    // The second shows what it has, which needs no question.
                    val held = second.shows(FilmOf.Holdings)
                    assertTrue(held.shown.film!!.still && held.shown.film!!.caution == null)
                    val watch = first.page(PageOf.Watch)
                    val followed = mutableListOf<Follows>()
                    watch.onFollows = { followed.add(it) }
                    show(second, Projector(held), first, watch, whole)
                    assertNull(watch.shown.question)
                    assertTrue((followed.single() as Follows.Ticked).well)
                    assertFalse(watch.shown.watching!!.looks)

                    // The first shows the rest.
                    val rest = first.shows(watch.shown.lacks!!)
                    val watched = second.page(PageOf.Watch)
                    show(first, Projector(rest), second, watched, whole)
                    assertTrue(watched.shown.question!!.words.first().contains("1 entry"))
                    second.go(watched, Touch.Yes(""))
                    assertTrue(watched.shown.said.first().startsWith("1 entry new"), watched.shown.said.toString())
                    assertEquals(code, second.scan(code).code)

                    // And back, with the same camera.
                    val back = second.shows(watched.shown.lacks!!)
                    first.go(watch, Touch.WatchOn)
                    assertTrue(watch.shown.watching!!.looks)
                    show(second, Projector(back), first, watch, whole)
                    first.go(watch, Touch.Yes(""))
                    assertEquals(other, first.scan(other).code)
                }
            }
        }
    }

    @Test
    fun `half a film is gone on with, also one that was seen last as the page was left`(): Unit = Shop().use { empty ->
        Demo.shop().use { shop ->
            shop.phone().use { from ->
                val film = from.shows(FilmOf.Everything)
                assertTrue(film.shown.film!!.caution!!.contains("flickers"))
                val projector = Projector(film)
                empty.phone().use { phone ->
                    val watch = phone.page(PageOf.Watch)
                    val further = mutableListOf<Int>()
                    watch.onFilm = { further.add(it.had.toInt()) }
                    show(from, projector, phone, watch) { it.had == 6u }
                    assertEquals((1..6).toList(), further)
                    watch.away()
                    // It is told no more, and kept all the same.
                    watch.touch(Touch.KeepFilm)
                    phone.settle(watch)
                    watch.leave()
                }
                empty.phone().use { phone ->
                    val watch = phone.page(PageOf.Watch)
                    assertTrue(watch.shown.watching!!.halves.single().contains("6 of"), watch.shown.watching.toString())
                    // Other squares, of the same film.
                    from.go(film, Touch.Pace("calm"))
                    projector.change()
                    assertTrue(film.shown.film!!.rate <= 2u)
                    show(from, projector, phone, watch, whole)
                    phone.go(watch, Touch.Yes(""))
                    assertNotNull(phone.page(PageOf.Hoses).shown.hoses!!.hoses.firstOrNull())
                    assertTrue(watch.shown.watching!!.halves.isEmpty())
                }
            }
        }
    }

    @Test
    fun `a film that is shown otherwise has no frame of before`(): Unit = Demo.shop().use { shop ->
        shop.phone().use { phone ->
            val film = phone.shows(FilmOf.Everything)
            val projector = Projector(film)
            val usual = phone.next(projector).side
            // The frames that are being made are of before.
            phone.go(film, Touch.Pace("far"))
            projector.change()
            val far = List(40) { phone.next(projector).side }.distinct()
            assertEquals(1, far.size)
            assertTrue(far.single() < usual)
        }
    }

    private companion object {
        const val PIXELS = 4
        const val QUIET = 4

        /** No film of a test takes more frames. */
        const val MOST = 2_000
    }
}
