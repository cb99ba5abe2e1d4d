package org.hosewright.app

import android.Manifest
import android.animation.ValueAnimator
import android.content.pm.PackageManager
import android.view.View
import android.view.WindowManager
import java.io.File
import java.nio.ByteBuffer
import java.nio.file.Files
import java.time.Duration
import org.hosewright.companion.Desk
import org.hosewright.companion.FilmFrame
import org.hosewright.companion.Projector
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.FilmOf
import org.hosewright.core.PageOf
import org.hosewright.core.Place
import org.hosewright.core.Touch
import org.junit.After
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Shadows.shadowOf
import org.robolectric.util.ReflectionHelpers
import org.robolectric.util.ReflectionHelpers.ClassParameter.from

/** Films on the screen and before the camera, in every look: kept as pictures, measured, and used. */
class FilmScenesTest : Scenes() {
    private val folder = Files.createTempDirectory("hosewright-other").toFile()
    private val desks = mutableListOf<Desk>()

    /** Another device. */
    private fun device(name: String, record: (File) -> Unit): Desk {
        val store = File(folder, "$name.hosewright").also(record)
        return Desk(Place(store.path, File(folder, "$name-keys").path), { TODAY }, app.main).also { desks += it }
    }

    /** One with a hose that this phone does not know. */
    private val other by lazy {
        device("other") {
            val hose = "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 --end-b 7/16-20"
            Counter.on(it, *hose.split(" ").toTypedArray())
        }
    }

    /** One with a whole fleet, which takes many frames. */
    private val fleet by lazy { device("fleet") { Counter.fleet().copyTo(it) } }

    @After
    fun forgetThem() {
        for (desk in desks) {
            desk.close()
            assertTrue(desk.awaitClosed(NEVER))
        }
        folder.deleteRecursively()
    }

    private fun film(of: FilmOf) = page(ShowActivity::class.java, app.film(of)).get()

    private fun watch() = page(WatchActivity::class.java).get()

    private fun camera() {
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_CAMERA_ANY, true)
        shadowOf(app).grantPermissions(Manifest.permission.CAMERA)
    }

    private fun view(page: Page) = page.window.decorView.everything().filterIsInstance<FilmView>().single()

    /** Until a frame is drawn. */
    private fun runs(page: Page) = page.also {
        until {
            shadowOf(android.os.Looper.getMainLooper()).idleFor(Duration.ofMillis(100))
            view(page).frame != null
        }
    }

    /** What another device shows. */
    private fun shown(by: Desk, of: FilmOf): Screen {
        val screen = Screen(by, PageOf.Show(of, calm = false))
        screen.touch(Touch.Look)
        until { screen.asking == 0 }
        return screen
    }

    /** The page's camera sees frames of another device's film; all of them, or the [first] ones. */
    private fun sees(page: Page, film: FilmOf, by: Desk = other, first: Int = Int.MAX_VALUE) = page.also {
        val watch = ReflectionHelpers.getField<Lazy<Screen>>(page, "watch\$delegate").value
        val projector = Projector(shown(by, film))
        watch.eye().use { eye ->
            for (at in 0 until first) {
                var frame: FilmFrame? = null
                until { projector.next().also { frame = it } != null }
                val (luma, side) = grey(frame!!)
                watch.watched(eye.see(luma, side, side, side))
                settle()
                if (watch.shown.watching?.looks == false) break
            }
        }
    }

    private fun grey(frame: FilmFrame): Pair<ByteBuffer, UInt> {
        val side = (frame.side + 8) * 4
        val luma = ByteBuffer.allocateDirect(side * side)
        for (at in 0 until side * side) {
            val (x, y) = at % side / 4 - 4 to at / side / 4 - 4
            luma.put(at, if (x in 0 until frame.side && y in 0 until frame.side && frame.isDark(x, y)) 20 else 235.toByte())
        }
        return luma to side.toUInt()
    }

    @Test
    fun `a film begins by a touch, after its caution, and pauses by one`() {
        drawn("film-before") { film(FilmOf.Everything) }
        drawn("film-runs") { film(FilmOf.Everything).also { touch(it, say.startFilm) }.let(::runs) }
        val page = film(FilmOf.Everything)
        assertTrue(words(page), words(page).contains("flickers"))
        assertFalse(page.window.decorView.everything().any { it is FilmView })
        touch(page, say.startFilm)
        runs(page)
        val bright = { page.window.attributes.screenBrightness }
        assertEquals(WindowManager.LayoutParams.BRIGHTNESS_OVERRIDE_FULL, bright())
        assertTrue(page.window.attributes.flags and WindowManager.LayoutParams.FLAG_KEEP_SCREEN_ON != 0)
        // It goes on, at most as fast as it says.
        val frames = mutableSetOf<FilmFrame>()
        repeat(30) {
            shadowOf(android.os.Looper.getMainLooper()).idleFor(Duration.ofMillis(100))
            settle()
            frames += view(page).frame!!
        }
        assertTrue("${frames.size}", frames.size in 20..31)
        touch(page, say.pauseFilm)
        assertEquals(WindowManager.LayoutParams.BRIGHTNESS_OVERRIDE_NONE, bright())
        assertTrue(words(page).contains(say.startFilm))
        // Put away, it does not run on.
        val away = page(ShowActivity::class.java, app.film(FilmOf.Everything))
        touch(away.get(), say.startFilm)
        runs(away.get())
        away.pause().resume()
        settle()
        assertTrue(words(away.get()).contains(say.startFilm))
    }

    @Test
    fun `at the calm pace two frames a second are shown`() {
        val page = film(FilmOf.Everything)
        touch(page, "Calm: 2 pictures a second, for anybody whom flickering disturbs")
        touch(page, say.startFilm)
        runs(page)
        val frames = mutableListOf(view(page).frame!!)
        repeat(40) {
            shadowOf(android.os.Looper.getMainLooper()).idleFor(Duration.ofMillis(50))
            view(page).frame!!.let { if (it !== frames.last()) frames += it }
        }
        assertTrue("${frames.size}", frames.size in 4..6)
    }

    @Test
    fun `a phone that asks for less movement shows it calmly`() {
        // As the system tells its apps; it is as before for the next test.
        ReflectionHelpers.callStaticMethod<Unit>(ValueAnimator::class.java, "setDurationScale", from(Float::class.javaPrimitiveType, 0f))
        drawn("film-calm") { film(FilmOf.Everything) }
        val page = film(FilmOf.Everything)
        assertTrue(words(page), words(page).contains("less movement"))
        assertFalse(words(page).contains(say.paceOfFilm))
    }

    @Test
    fun `what is here stands still, and is shown at once`() {
        drawn("film-still") { runs(film(FilmOf.Holdings)) }
        assertFalse(words(film(FilmOf.Holdings)).contains("flickers"))
    }

    @Test
    fun `a film is watched, half and whole`() {
        drawn("watch-no-camera") { watch() }
        camera()
        drawn("watch") { watch() }
        drawn("watch-half") { sees(watch(), FilmOf.Everything, fleet, first = 40) }
        app.beginAnew()
        drawn("watch-left") { watch() }
        drawn("watch-held") { sees(watch(), FilmOf.Holdings) }
        val page = sees(watch(), FilmOf.Everything)
        drawn("watch-whole") { sees(watch(), FilmOf.Everything) }
        touch(page, say.takeIn)
        measured("watch-came-in", page)
        assertTrue(words(page), words(page).contains("1 entry new"))
        touch(page, say.showRest)
        val rest = page(ShowActivity::class.java, started(page)!!).get()
        assertTrue(words(rest), words(rest).contains("entries"))
        // Then the other film, with the same camera.
        touch(page, say.watchFilm)
        assertTrue(words(page), words(page).contains(say.stopFilm))
        touch(page, say.stopFilm)
        assertTrue(page.isFinishing)
    }

    @Test
    fun `the page where records meet leads to each film`() {
        val page = page(MeetingActivity::class.java).get()
        for ((words, activity) in listOf(say.watchFilm to WatchActivity::class.java, say.showHere to ShowActivity::class.java, say.showAll to ShowActivity::class.java)) {
            touch(page, words)
            assertEquals(activity.name, started(page)!!.component!!.className)
        }
        drawn("meeting-by-sight") {
            page(MeetingActivity::class.java).get().also { named(it, say.showAll).let(View::requestFocus) }
        }
    }
}
