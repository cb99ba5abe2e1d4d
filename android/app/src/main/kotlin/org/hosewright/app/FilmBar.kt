package org.hosewright.app

import android.annotation.SuppressLint
import android.content.Context
import android.content.res.ColorStateList
import android.view.View
import android.widget.LinearLayout
import android.widget.ProgressBar
import org.hosewright.core.FilmSeen

/** How far a film is that is watched: it moves on with each frame, and the page is not built anew for it. */
@SuppressLint("ViewConstructor") // It stands in no layout file.
class FilmBar(context: Context) : LinearLayout(context) {
    private val parts = object : Pieces(context) {
        val said = text("", R.dimen.text_heading, R.color.text, bold = true)
        val gap = size(R.dimen.gap)
    }
    private val bar = ProgressBar(context, null, android.R.attr.progressBarStyleHorizontal).apply {
        max = WHOLE
        progressTintList = ColorStateList.valueOf(context.getColor(R.color.action))
        // What it shows stands beside it.
        importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
    }

    init {
        orientation = VERTICAL
        for (view in listOf(parts.said, bar)) {
            addView(view, LayoutParams(LayoutParams.MATCH_PARENT, LayoutParams.WRAP_CONTENT).apply { bottomMargin = parts.gap / 2 })
        }
    }

    fun show(seen: FilmSeen) {
        bar.progress = if (seen.needed == 0u) 0 else (WHOLE.toULong() * seen.had / seen.needed).toInt()
        parts.said.text = seen.said
        seen.aloud?.let(parts.said::announceForAccessibility)
    }

    private companion object {
        /** A whole film, in steps of the bar. */
        const val WHOLE = 1_000
    }
}
