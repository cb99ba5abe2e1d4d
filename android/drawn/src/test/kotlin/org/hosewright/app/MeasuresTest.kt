package org.hosewright.app

import android.app.Activity
import android.graphics.Color
import android.view.View
import android.view.ViewGroup
import android.widget.Button
import android.widget.LinearLayout
import android.widget.ScrollView
import android.widget.TextView
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Robolectric

/** The measures complain of what they are for, and of nothing else. */
class MeasuresTest : Handset() {
    private fun complaintsOf(build: LinearLayout.() -> Unit): List<String> {
        val activity = Robolectric.buildActivity(Activity::class.java).setup().get()
        val column = LinearLayout(activity).apply {
            orientation = LinearLayout.VERTICAL
            setBackgroundColor(Color.WHITE)
            build()
        }
        activity.setContentView(ScrollView(activity).apply { addView(column) })
        until { column.height > 0 }
        return Drawing(activity.findViewById(android.R.id.content)).complaints()
    }

    private fun LinearLayout.put(view: View, high: Int = ViewGroup.LayoutParams.WRAP_CONTENT, wide: Int = ViewGroup.LayoutParams.MATCH_PARENT) =
        addView(view, LinearLayout.LayoutParams(wide, high))

    private fun LinearLayout.plain(words: String, colour: Int = Color.BLACK) =
        TextView(context).apply {
            text = words
            setTextColor(colour)
        }

    private fun dp(of: Int) = (of * app.resources.displayMetrics.density).toInt()

    @Test
    fun `what is well is not complained of`() {
        assertEquals(emptyList<String>(), complaintsOf { put(plain("To be read, and long enough for a second line of the page")) })
    }

    @Test
    fun `each slip is found`() {
        val slips = mapOf<String, LinearLayout.() -> Unit>(
            "is touched at 360.0 × 20.0 dp" to {
                put(plain("words"))
                put(Button(context).apply { text = "Go"; setPadding(0, 0, 0, 0); minHeight = 0; minimumHeight = 0; setTextColor(Color.BLACK); setBackgroundColor(Color.WHITE) }, dp(20))
            },
            "has no name" to {
                put(plain("words"))
                put(View(context).apply { setOnClickListener {} }, dp(60))
            },
            "ends in dots" to {
                put(plain("a line that is far too long to be read on a screen so narrow as this one is").apply {
                    setSingleLine()
                    ellipsize = android.text.TextUtils.TruncateAt.END
                })
            },
            "is cut off below" to { put(plain("two lines\nof text"), dp(20)) },
            "breaks a word" to { put(plain("word".repeat(40))) },
            "stands out at" to { put(plain("grey on white", Color.rgb(0x99, 0x99, 0x99))) },
            "lies outside of the screen" to { put(plain("wide"), wide = dp(400)) },
            "the obstacle is not seen" to {
                put(plain("words"), dp(2_000))
                put(plain("stop").apply { accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_ASSERTIVE })
            },
            "is not drawn" to { put(plain("clear", Color.TRANSPARENT)) },
            "nothing is drawn" to { put(plain("white", Color.WHITE)) },
            "nothing can be read" to { put(View(context), dp(60)) },
        )
        for ((words, build) in slips) {
            val complaints = complaintsOf(build)
            assertTrue("$words: $complaints", complaints.any { it.contains(words) })
        }
    }

    @Test
    fun `the formula gives the ratios that the standard names`() {
        // WCAG 2.2 names 21 : 1 for black on white; #767676 on white is the well-known 4.54 : 1.
        assertEquals(21.0, Drawing.contrast(Color.BLACK, Color.WHITE), 1e-9)
        assertEquals(4.54, Drawing.contrast(Color.rgb(0x76, 0x76, 0x76), Color.WHITE), 0.01)
    }
}
