package org.hosewright.app

import android.content.Context
import android.graphics.Canvas
import android.graphics.Paint
import android.graphics.Path
import android.view.View
import kotlin.math.min
import org.hosewright.core.Shape
import org.hosewright.core.Verdict
import org.hosewright.core.verdictSigns

/**
 * The sign of a verdict, after ISO 3864-1: a green square with a tick, a yellow
 * triangle and a blue disc with a mark that calls, a red ring with a bar. Drawn
 * as on the counter page, in a square of a hundred by a hundred. The word stands
 * beside it, so a screen reader passes over the drawing.
 */
class SignView(context: Context, verdict: Verdict) : View(context) {
    private val sign = SIGNS.first { it.verdict == verdict }
    private val paint = Paint(Paint.ANTI_ALIAS_FLAG)
    private val path = Path()

    init {
        importantForAccessibility = IMPORTANT_FOR_ACCESSIBILITY_NO
    }

    override fun onDraw(canvas: Canvas) {
        val side = min(width, height).toFloat()
        canvas.translate((width - side) / 2, (height - side) / 2)
        canvas.scale(side / 100, side / 100)
        val (colour, contrast) = opaque(sign.colour) to opaque(sign.contrast)
        when (sign.shape) {
            Shape.SQUARE -> {
                canvas.drawRoundRect(4f, 4f, 96f, 96f, 6f, 6f, filled(colour))
                canvas.drawPath(line(24f, 52f, 43f, 71f, 77f, 31f), drawn(contrast, 12f))
            }
            Shape.TRIANGLE -> {
                canvas.drawPath(line(50f, 4f, 98f, 95f, 2f, 95f).apply { close() }, filled(contrast))
                canvas.drawPath(line(50f, 16f, 89f, 88f, 11f, 88f).apply { close() }, filled(colour))
                calls(canvas, 45f, 55f, 40f, 66f, 71f, 81f, contrast)
            }
            Shape.DISC -> {
                canvas.drawCircle(50f, 50f, 47f, filled(contrast))
                canvas.drawCircle(50f, 50f, 45f, filled(colour))
                calls(canvas, 43f, 57f, 20f, 58f, 66f, 80f, contrast)
            }
            Shape.RING_WITH_BAR -> {
                canvas.drawCircle(50f, 50f, 47f, filled(contrast))
                canvas.drawCircle(50f, 50f, 39f, drawn(colour, 13f))
                canvas.drawPath(line(23f, 23f, 77f, 77f), drawn(colour, 13f))
            }
        }
    }

    /** A bar over a dot. */
    private fun calls(canvas: Canvas, left: Float, right: Float, top: Float, end: Float, dot: Float, dotEnd: Float, colour: Int) {
        canvas.drawRect(left, top, right, end, filled(colour))
        canvas.drawRect(left, dot, right, dotEnd, filled(colour))
    }

    private fun line(vararg places: Float) =
        path.apply {
            reset()
            moveTo(places[0], places[1])
            for (at in 2 until places.size step 2) lineTo(places[at], places[at + 1])
        }

    private fun filled(colour: Int) = paint.apply {
        style = Paint.Style.FILL
        color = colour
    }

    private fun drawn(colour: Int, broad: Float) = paint.apply {
        style = Paint.Style.STROKE
        strokeWidth = broad
        color = colour
    }

    private fun opaque(colour: UInt) = 0xFF000000.toInt() or colour.toInt()

    private companion object {
        val SIGNS = verdictSigns()
    }
}
