package org.hosewright.app

import android.app.Activity
import android.content.Intent
import android.os.Bundle
import android.os.Looper
import android.os.Parcel
import android.view.View
import android.view.ViewGroup
import android.widget.CompoundButton
import android.widget.EditText
import android.widget.TextView
import java.io.File
import java.nio.file.Files
import org.hosewright.companion.Desk
import org.hosewright.core.FormOf
import org.junit.After
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Before
import org.junit.runner.RunWith
import org.robolectric.Robolectric
import org.robolectric.RobolectricTestRunner
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import org.robolectric.android.controller.ActivityController
import org.robolectric.annotation.Config
import org.robolectric.util.ReflectionHelpers

/** The app on the day of the demonstration. */
class DayApp : HosewrightApp() {
    override fun today() = TODAY

    /** As after the end of the process: the record is closed, and opened again by the next who asks. */
    fun beginAnew() {
        desk.close()
        assertTrue(desk.awaitClosed(NEVER))
        val keys = File(noBackupFilesDir, "keys").path
        val again = lazy { Desk(org.hosewright.core.Place(store().path, keys), ::today, main) }
        ReflectionHelpers.setField(HosewrightApp::class.java, this, "desk\$delegate", again)
    }
}

/** What has not come in so many seconds never will, however busy the machine is: a test fails instead of hanging. */
const val NEVER = 600L

/** The day on which the demonstration stands. */
const val TODAY = "2026-06-15"

/** Hoses of the demonstration, which always makes the same. */
object Hoses {
    const val READY = "1CSH-FY3A-172R-3"
    const val WATCH = "GPBF-59NP-PV77-8"
    const val HOLD = "234B-2M4E-T5YP-1"
    const val RETIRE = "W9SY-797P-PZMG-2"

    /** Of the set R2, which can be handed out. */
    const val FITTED = "Z7QB-47MS-2042-N"

    /** In stock, and free. */
    const val SPARE = "4TBV-22R5-ZVFH-H"
}

/** The command line, which makes the record that the app is given. */
object Counter {
    private val binary = File(System.getProperty("hosewright.binary")).absoluteFile.normalize().path

    private val demo: File by lazy {
        val folder = Files.createTempDirectory("hosewright-drawn").toFile()
        Runtime.getRuntime().addShutdownHook(Thread { folder.deleteRecursively() })
        run(folder, "demo", File(folder, "demo").path)
        File(folder, "demo")
    }

    fun fleet() = File(demo, "fleet.hosewright")

    /** What is written on the tag of the demonstration's photo. */
    fun tag(): String = run(demo, "read", File(demo, "photo.png").path).let { said -> Regex("HW1:[0-9A-Z.]+").find(said)!!.value }

    /** Runs it for a record, and gives what it said. */
    fun on(record: File, vararg words: String): String =
        run(record.parentFile, "--store", record.path, "--today", TODAY, *words)

    private fun run(folder: File, vararg words: String): String {
        val building = ProcessBuilder(listOf(binary) + words).directory(folder).redirectErrorStream(true)
        building.environment() += mapOf(
            "HOSEWRIGHT_BY" to "bench",
            "HOSEWRIGHT_KEYS" to File(folder, "counter-keys").path,
            "NO_COLOR" to "1",
        )
        val process = building.start()
        process.outputStream.close()
        val said = process.inputStream.bufferedReader().readText()
        assertEquals(said, 0, process.waitFor())
        return said
    }
}

/** A phone with the app, the demonstration's record in it, and a finger. */
@RunWith(RobolectricTestRunner::class)
@Config(application = DayApp::class)
abstract class Handset {
    protected val app get() = RuntimeEnvironment.getApplication() as DayApp
    private val open = mutableListOf<ActivityController<out Page>>()

    @Before
    fun takeItUp() {
        Counter.fleet().copyTo(app.store(), overwrite = true)
        named("bench")
        look(Look())
    }

    /** As after somebody was asked who writes; nobody yet if it is null. */
    protected fun named(name: String?) {
        val hash = java.security.MessageDigest.getInstance("SHA-256").digest("name".toByteArray())
        val file = File(File("${app.store().path}.drafts"), hash.take(16).joinToString("") { "%02x".format(it) } + ".json")
        file.parentFile!!.mkdirs()
        if (name == null) file.delete() else file.writeText("\"$name\"")
    }

    @After
    fun putItAway() {
        open.toList().forEach(::leave)
        app.desk.close()
        assertTrue(app.desk.awaitClosed(NEVER))
    }

    protected fun counter(vararg words: String) = Counter.on(app.store(), *words)

    /** How the phone is held and set, for pages that are begun from now on. */
    protected fun look(look: Look) {
        RuntimeEnvironment.setQualifiers(look.qualifiers)
        RuntimeEnvironment.setFontScale(look.scale)
    }

    /** Opens a page as its intent does. */
    protected fun <A : Page> page(type: Class<A>, vararg extras: Pair<String, Any>): ActivityController<A> =
        page(type, Intent(app, type).apply {
            for ((key, value) in extras) if (value is Boolean) putExtra(key, value) else putExtra(key, value as String)
        })

    protected fun <A : Page> page(type: Class<A>, intent: Intent): ActivityController<A> {
        val made = Robolectric.buildActivity(type, intent)
        open += made
        made.setup()
        settle()
        return made
    }

    protected fun leave(page: ActivityController<out Page>) {
        if (!open.remove(page)) return
        if (page.get().isDestroyed) return
        page.pause().stop().destroy()
    }

    /** The process ends while the page lies behind another; the system keeps the state as bytes. */
    protected fun <A : Page> begunAnew(page: ActivityController<A>): ActivityController<A> {
        val intent = page.get().intent
        val type = page.get().javaClass
        val state = Bundle()
        page.pause().stop().saveInstanceState(state)
        open.remove(page)
        page.destroy()
        app.beginAnew()
        val parcel = Parcel.obtain()
        parcel.writeBundle(state)
        val bytes = parcel.marshall()
        parcel.recycle()
        val read = Parcel.obtain()
        read.unmarshall(bytes, 0, bytes.size)
        read.setDataPosition(0)
        val again = Robolectric.buildActivity(type, intent)
        open += again
        again.setup(read.readBundle(type.classLoader))
        read.recycle()
        settle()
        return again
    }

    /** Until the record has answered what was asked, and what was asked upon that. */
    protected fun settle() {
        repeat(4) {
            var told = 0
            app.desk.ask({ _, _ -> }) { told += 1 }
            app.desk.beside({}) { told += 1 }
            until { told == 2 }
        }
    }

    protected fun until(come: () -> Boolean) {
        val end = System.nanoTime() + NEVER * 1_000_000_000
        while (true) {
            shadowOf(Looper.getMainLooper()).idle()
            if (come()) return
            assertTrue("it never came", System.nanoTime() < end)
            Thread.sleep(1)
        }
    }

    /** The first view on a page that bears these words, or is called so. */
    protected fun named(page: Page, words: String, fits: (View) -> Boolean = { true }): View {
        val all = page.window.decorView.everything().filter { it.isShown && fits(it) }
        val found = all.filter { it.says() == words }.ifEmpty { all.filter { it.says().contains(words) } }
        assertTrue("\"$words\" is not among ${all.map { it.says() }.filter { it.isNotEmpty() }}", found.isNotEmpty())
        return found.first()
    }

    protected fun touch(page: Page, words: String) {
        assertTrue(named(page, words) { it.isClickable }.performClick())
        settle()
    }

    /** Opens a form. */
    protected fun form(of: FormOf) = page(FormActivity::class.java, app.form(of))

    /** Types into the field whose label is [label]. */
    protected fun type(page: Page, label: String, text: String): EditText {
        val name = named(page, label) as TextView
        val field = page.findViewById<EditText>(name.labelFor)
        field.requestFocus()
        field.setText(text)
        return field
    }

    /** Says of every hose of a return that it is here. */
    protected fun allHere(page: Page) {
        while (true) {
            val open = page.window.decorView.everything().find { it is CompoundButton && it.says() == "Here" && !it.isChecked }
            (open ?: break).performClick()
            settle()
        }
    }

    /** Answers the step of a swap that is shown, in the usual way. */
    protected fun answerStep(page: Page) {
        val lines = words(page).lines()
        if ("Passed: nothing leaked" in lines) {
            touch(page, "Passed: nothing leaked")
            type(page, "Pressure", "200 bar")
        }
        // It stands within the thumb's reach, under everything else.
        touch(page, lines.last())
        if (!lines.last().startsWith("Scan")) return
        val code = if (lines.any { it.startsWith("Scan the new") }) Hoses.SPARE else Hoses.FITTED
        shadowOf(page).receiveResult(started(page)!!, Activity.RESULT_OK, Intent().putExtra(Page.CODE, code))
        settle()
    }

    protected fun words(page: Page): String =
        page.window.decorView.everything().filter { it.isShown }.map { it.says() }.filter { it.isNotEmpty() }.joinToString("\n")

    protected fun started(page: Page): Intent? = shadowOf(page).nextStartedActivity
}

/** A way to hold a phone and to set it. */
data class Look(val wide: Boolean = false, val dark: Boolean = false, val scale: Float = 1f) {
    val qualifiers: String
        get() = (if (wide) "w740dp-h360dp-land" else "w360dp-h740dp-port") + (if (dark) "-night" else "-notnight") + "-xhdpi"

    override fun toString() =
        (if (wide) "wide" else "high") + (if (dark) "-dark" else "-light") + (if (scale == 1f) "" else "-large")

    companion object {
        /** Each way of holding with each light, each light with each size, each size with each way of holding. */
        val ALL = listOf(
            Look(),
            Look(scale = 2f),
            Look(dark = true),
            Look(wide = true, dark = true, scale = 2f),
            Look(wide = true),
        )
    }
}

/** A view and all in it, in the order in which a screen reader goes through. */
fun View.everything(): List<View> =
    listOf(this) + ((this as? ViewGroup)?.let { group -> (0 until group.childCount).flatMap { group.getChildAt(it).everything() } } ?: emptyList())

/** What a screen reader says of a view. */
fun View.says(): String = (contentDescription ?: (this as? TextView)?.text ?: "").toString().replace("\u200B", "")
