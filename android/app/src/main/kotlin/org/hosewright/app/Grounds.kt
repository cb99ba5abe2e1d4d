package org.hosewright.app

import android.content.Context
import android.content.res.ColorStateList
import android.graphics.drawable.ColorDrawable
import android.graphics.drawable.Drawable
import android.graphics.drawable.GradientDrawable
import android.graphics.drawable.LayerDrawable
import android.graphics.drawable.RippleDrawable
import org.hosewright.core.Verdict

/** What is behind words: cards, frames, and the colours of verdicts. */
class Grounds(private val context: Context) {
    private val density = context.resources.displayMetrics.density

    /** The frame of something that is touched; it answers the finger. */
    fun touched(ground: Int, chosen: Boolean = false): Drawable =
        answering(framed(ground, if (chosen) R.color.text else R.color.line, if (chosen) 3 else 2))

    /** A button that goes on. */
    fun main(): Drawable = answering(framed(R.color.action, R.color.action, 2))

    /** A card. */
    fun card(): Drawable = framed(R.color.card, R.color.line, 2)

    /** What stands still under a page that scrolls: a line is over it. */
    fun foot(): Drawable =
        LayerDrawable(arrayOf(ColorDrawable(context.getColor(R.color.line)), ColorDrawable(context.getColor(R.color.ground))))
            .apply { setLayerInset(1, 0, dp(2), 0, 0) }

    /** A card with a broad edge at its beginning. */
    fun edged(ground: Int, edge: Int, broad: Int, narrow: Int = 0): Drawable {
        val round = 12f
        val behind = plain(edge, round)
        val before = plain(ground, round - narrow)
        return LayerDrawable(arrayOf(behind, before)).apply {
            setLayerInsetRelative(1, dp(broad), dp(narrow), dp(narrow), dp(narrow))
            // If there is no narrow edge, nothing of the broad one shines through at the round corners.
            if (narrow == 0) setLayerInsetRelative(0, 0, 0, dp(broad), 0)
        }
    }

    /** The ground of a verdict. */
    fun of(verdict: Verdict): Int =
        when (verdict) {
            Verdict.READY -> R.color.ready
            Verdict.WATCH -> R.color.watch
            Verdict.HOLD -> R.color.hold
            Verdict.RETIRE -> R.color.retire
        }

    /** The edge of a verdict's ground. */
    fun edge(verdict: Verdict): Int =
        when (verdict) {
            Verdict.READY -> R.color.ready_edge
            Verdict.WATCH -> R.color.watch_edge
            Verdict.HOLD -> R.color.hold_edge
            Verdict.RETIRE -> R.color.retire_edge
        }

    /** Shows that it is touched, or that the keys of a keyboard are on it. */
    fun answering(drawable: Drawable): Drawable {
        val shade = context.getColor(R.color.line) and 0x00FF_FFFF or 0x6600_0000
        return RippleDrawable(ColorStateList.valueOf(shade), drawable, plain(R.color.text, 10f))
    }

    private fun framed(ground: Int, line: Int, broad: Int) =
        plain(ground, 10f).apply { setStroke(dp(broad), context.getColor(line)) }

    private fun plain(colour: Int, round: Float) =
        GradientDrawable().apply {
            setColor(context.getColor(colour))
            cornerRadius = density * round
        }

    private fun dp(of: Int) = (density * of).toInt()
}
