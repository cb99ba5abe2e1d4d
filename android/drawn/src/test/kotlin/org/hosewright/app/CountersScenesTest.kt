package org.hosewright.app

import android.content.Intent
import android.net.Uri
import android.widget.TextView
import java.io.File
import java.nio.file.Files
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.hosewright.door.Door
import org.hosewright.door.Silent
import org.junit.Assert.assertEquals
import org.junit.Assert.assertSame
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.util.ReflectionHelpers

/** Counters in the shop's network: every page of it in every look, and from page to page. */
class CountersScenesTest : Scenes() {
    private fun screen(page: Page) = ReflectionHelpers.getField<Lazy<Screen>>(page, "screen\$delegate").value

    /** A page of counters, once it was asked: it has a queue of its own. */
    private fun counters(symbol: String? = null) = asked(form(FormOf.Counters(symbol)).get())

    private fun asked(page: Page) = page.also { until { screen(page).asking == 0 } }

    /** A button with these words. */
    private fun press(page: Page, words: String) = assertTrue(named(page, words) { it.isClickable }.performClick())

    @Test
    fun `a phone that no counter let in, and the way to its symbol`() {
        drawn("counters-none") { counters() }
        val meeting = page(MeetingActivity::class.java).get()
        touch(meeting, say.network)
        val form = asked(page(FormActivity::class.java, started(meeting)!!).get())
        assertEquals(say.network, form.title)
        touch(form, "Scan a counter's symbol")
        val scan = page(ScanActivity::class.java, started(form)!!).get()
        Silent().use { counter ->
            type(scan, say.codeOnTag, counter.symbol)
            touch(scan, say.answer)
            val led = started(scan)!!
            assertEquals(FormOf.Counters(counter.symbol), led.form())
            drawn("counters-asks") { counters(counter.symbol) }
        }
    }

    @Test
    fun `what is under way says how far it is, and is stopped`() {
        Silent().use { counter ->
            var before: Screen? = null
            fun stopped() = before?.let { screen ->
                screen.stop()
                until { screen.asking == 0 }
            }
            drawn("counters-under-way") {
                stopped()
                counters(counter.symbol).also { page ->
                    before = screen(page)
                    press(page, "Meet it")
                    until { screen(page).underWay }
                }
            }
            stopped()
            val page = counters(counter.symbol)
            press(page, "Meet it")
            until { screen(page).underWay }
            assertTrue(words(page), "Meet it" !in words(page).lines())
            // The button is there while it goes on, and is not built anew under a finger.
            val stop = named(page, say.stop)
            screen(page).onProgress()
            assertSame(stop, named(page, say.stop))
            // Others ask the record meanwhile.
            val hose = page(HoseActivity::class.java, Page.CODE to Hoses.READY).get()
            assertTrue(words(hose).contains("READY"))
            press(page, say.stop)
            asked(page)
            assertTrue(words(page), words(page).contains("topped, as asked"))
            measured("counters-stopped", page)
        }
    }

    @Test
    fun `a counter lets the phone in`() {
        val folder = Files.createTempDirectory("hosewright-counter").toFile()
        try {
            val store = File(folder, "counter.hosewright")
            val around = mapOf(
                "HOSEWRIGHT_BY" to "bench", "HOSEWRIGHT_STORE" to store.path, "HOSEWRIGHT_KEYS" to File(folder, "counter-keys").path,
            )
            val hose = "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 --end-b 7/16-20"
            Counter.on(store, *hose.split(" ").toTypedArray())
            Door(System.getProperty("hosewright.binary"), TODAY, around).use { door ->
                val page = counters(door.symbol())
                press(page, "Meet it")
                asked(page)
                assertTrue(words(page), words(page).contains("Met the counter"))
                measured("counters-met", page)
                touch(page, say.finished)
                assertTrue(page.isFinishing)
                drawn("counters-known") { counters() }
            }
            val away = counters()
            press(away, "Meet now")
            asked(away)
            assertTrue(words(away), words(away).contains("can't be reached"))
            measured("counters-away", away)
        } finally {
            folder.deleteRecursively()
        }
    }

    @Test
    fun `a file that is taken in can be stopped`() {
        val meeting = page(MeetingActivity::class.java).get()
        touch(meeting, say.shareRecord)
        started(meeting)
        val sent = Uri.parse("content://somewhere.else/1")
        val bundle = File(SharedFiles.folder(app), "phone.hwbundle")
        org.robolectric.Shadows.shadowOf(app.contentResolver).registerInputStreamSupplier(sent) { bundle.inputStream() }
        val opened = page(MeetingActivity::class.java, Intent(Intent.ACTION_VIEW).setDataAndType(sent, "application/octet-stream").setClass(app, MeetingActivity::class.java)).get()
        until { words(opened).contains(say.takeIn) }
        var stops = 0
        val change = screen(opened).onChange
        screen(opened).onChange = {
            change()
            if (screen(opened).underWay) {
                stops += 1
                val said = opened.window.decorView.findViewWithTag<TextView>("progress")
                assertTrue(said.says(), said.says().contains("entries are read"))
                assertTrue(named(opened, say.stop).isClickable)
            }
        }
        touch(opened, say.takeIn)
        until { screen(opened).asking == 0 }
        assertTrue("it was never under way", stops > 0)
    }
}
