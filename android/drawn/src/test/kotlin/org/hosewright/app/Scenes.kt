package org.hosewright.app

import android.app.Dialog
import org.hosewright.core.Verdict
import org.junit.After
import org.junit.Assert.assertTrue
import org.robolectric.shadows.ShadowDialog

/** Pages that are kept as pictures and measured; what is wrong with any is told at the end of its test. */
abstract class Scenes : Handset() {
    private val complaints = mutableListOf<String>()

    /** Draws a scene in every look. */
    protected fun drawn(name: String, verdict: Verdict? = null, looks: List<Look> = Look.ALL, scene: () -> Page) {
        for (look in looks) {
            look(look)
            val page = scene()
            val dialog = ShadowDialog.getLatestDialog()?.takeIf(Dialog::isShowing)
            val drawing = Drawing((dialog?.window ?: page.window).decorView)
            drawing.keep("$name-$look", all = !look.wide && !look.dark)
            complaints += drawing.complaints().map { "$name-$look: $it" }
            if (verdict != null && drawing.pixels(Drawing.colour(verdict)) < 2_000) complaints += "$name-$look: the sign is not seen"
            dialog?.dismiss()
        }
        look(Look())
    }

    /** What happens once only: measured in the look that it happened in. */
    protected fun measured(name: String, page: Page) {
        val drawing = Drawing(page.window.decorView)
        drawing.keep(name, all = true)
        complaints += drawing.complaints().map { "$name: $it" }
    }

    @After
    fun allIsWell() = assertTrue(complaints.joinToString("\n"), complaints.isEmpty())
}
