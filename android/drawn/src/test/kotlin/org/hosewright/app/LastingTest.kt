package org.hosewright.app

import android.widget.CheckBox
import android.widget.CompoundButton
import android.widget.RadioButton
import android.widget.EditText
import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.RuntimeEnvironment
import org.robolectric.android.controller.ActivityController

/** A phone that is turned, and a process that ends, lose nothing that was entered. */
class LastingTest : Handset() {
    /** Once each: turned on its side, and started again. */
    private fun <A : Page> disturbed(page: ActivityController<A>): ActivityController<A> {
        val before = page.get()
        RuntimeEnvironment.setQualifiers(Look(wide = true).qualifiers)
        page.configurationChange(app.resources.configuration)
        settle()
        assertTrue("a page that is turned is made again", page.get() !== before)
        RuntimeEnvironment.setQualifiers(Look().qualifiers)
        return begunAnew(page)
    }

    private fun field(page: Page, label: String): String {
        val name = named(page, label) as android.widget.TextView
        return page.findViewById<EditText>(name.labelFor).text.toString()
    }

    @Test
    fun `an inspection goes on where it was`() {
        val form = form(FormOf.Hose(Hoses.FITTED, "leak-test"))
        touch(form.get(), "Passed: nothing leaked")
        // Typed, and not yet left.
        type(form.get(), "Pressure", "200 bar")
        type(form.get(), "Note", "on the bench")
        val again = disturbed(form).get()
        assertTrue((named(again, "Passed: nothing leaked") as CompoundButton).isChecked)
        assertEquals("200 bar", field(again, "Pressure"))
        assertEquals("on the bench", field(again, "Note"))
        touch(again, "Save")
        assertTrue(words(again), again.isFinishing)
        val answer = words(page(HoseActivity::class.java, Page.CODE to Hoses.FITTED).get())
        assertTrue(answer, answer.contains("leak test on $TODAY") && answer.contains("passed at 200 bar"))
    }

    @Test
    fun `a refusal is brought before the eyes`() {
        val form = form(FormOf.Hose(Hoses.SPARE, "leak-test")).get()
        type(form, "Pressure", "three")
        touch(form, "Save")
        assertSeen(form)
        // Once more, from another place.
        form.window.decorView.everything().filterIsInstance<android.widget.ScrollView>().first().scrollTo(0, 0)
        touch(form, "Save")
        assertSeen(form)
        assertTrue(!form.isFinishing)
    }

    private fun assertSeen(form: Page) {
        val alert = form.window.decorView.everything().first { it.accessibilityLiveRegion == android.view.View.ACCESSIBILITY_LIVE_REGION_ASSERTIVE && it.says().isNotEmpty() }
        val seen = android.graphics.Rect()
        assertTrue(alert.says(), alert.getGlobalVisibleRect(seen) && seen.height() >= alert.height)
    }

    @Test
    fun `a swap goes on at its step, into the port that was chosen`() {
        val swap = form(FormOf.Swap(Hoses.FITTED, Hoses.SPARE))
        val ports = swap.get().window.decorView.everything().filterIsInstance<RadioButton>()
        assertTrue("${ports.map { it.says() }}", ports.first().isChecked && ports.size > 1)
        val own = ports.first().says()
        touch(swap.get(), ports[1].says())
        val place = words(swap.get()).lines().first { it.contains(" off, ") }
        assertTrue(place, !place.contains(own))
        val turned = disturbed(swap)
        assertTrue(words(turned.get()), words(turned.get()).contains(place))
        touch(turned.get(), "Done")
        val second = "Step 2 of"
        assertTrue(words(turned.get()), words(turned.get()).contains(second))
        val again = disturbed(turned)
        assertTrue(words(again.get()), words(again.get()).let { it.contains(second) && it.contains(place) })
    }

    @Test
    fun `a hand-out keeps its scans and its ticket, and the return what was seen`() {
        val out = form(FormOf.HandOut("R2"))
        ticked(out, Hoses.FITTED)
        touch(out.get(), "Hand out anyway")
        type(out.get(), "Ticket", "4711")
        val again = disturbed(out)
        assertTrue(words(again.get()), words(again.get()).lines().contains("Found"))
        assertEquals("4711", field(again.get(), "Ticket"))
        val codes = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]").findAll(counter("list", "--set", "R2")).map { it.value }.distinct().toList()
        ticked(again, *codes.toTypedArray())
        // It is in quarantine or not; either way the words say which.
        touch(again.get(), "Hand out")
        assertTrue(words(again.get()), words(again.get()).contains("ticket 4711"))

        val back = form(FormOf.TakeBack("R2"))
        touch(back.get(), "Report a finding")
        touch(back.get(), "a cut in the cover")
        type(back.get(), "Dives made with it", "3")
        val later = disturbed(back)
        assertEquals("3", field(later.get(), "Dives made with it"))
        assertTrue((named(later.get(), "a cut in the cover") { it is CheckBox } as CheckBox).isChecked)
        allHere(later.get())
        touch(later.get(), "Nothing found on the other")
        assertTrue(words(later.get()), words(later.get()).contains("3 dives each"))
    }

    /** Hoses tick off on the page that lies over this one. */
    private fun ticked(page: ActivityController<out Page>, vararg codes: String) {
        page.pause()
        val camera = page(ScanActivity::class.java, app.ticks(page.get().intent.form())).get()
        for (code in codes) {
            type(camera, say.codeOnTag, code)
            touch(camera, say.answer)
        }
        page.resume()
        settle()
    }
}
