package org.hosewright.app

import android.content.Context
import android.graphics.Canvas
import android.graphics.Paint
import android.graphics.Path
import android.view.View
import kotlin.math.min
import kotlin.math.sqrt
import org.hosewright.core.Shape
import org.hosewright.core.Verdict
import org.hosewright.core.verdictSigns

/**
 * The sign of a verdict, after ISO 3864-1: a green square, a yellow triangle with
 * a black rim, a blue disc, a red ring with a bar on white. The word stands beside
 * it, so a screen reader passes over the drawing.
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
        val (left, top) = (width - side) / 2 to (height - side) / 2
        paint.style = Paint.Style.FILL
        paint.color = opaque(sign.colour)
        when (sign.shape) {
            Shape.SQUARE -> canvas.drawRect(left, top, left + side, top + side, paint)
            Shape.TRIANGLE -> {
                val high = side * sqrt(3f) / 2
                triangle(left, top + (side - high) / 2, side, high)
                paint.color = opaque(sign.contrast)
                canvas.drawPath(path, paint)
                val rim = side * 0.08f
                triangle(left + rim * 1.7f, top + (side - high) / 2 + rim * 2, side - rim * 3.4f, high - rim * 3)
                paint.color = opaque(sign.colour)
                canvas.drawPath(path, paint)
            }
            Shape.DISC -> canvas.drawCircle(left + side / 2, top + side / 2, side / 2, paint)
            Shape.RING_WITH_BAR -> {
                // The ring is a tenth of the diameter, the bar 0.08 of it, from the upper left.
                val ring = side * 0.1f
                paint.color = opaque(sign.contrast)
                canvas.drawCircle(left + side / 2, top + side / 2, side / 2, paint)
                paint.style = Paint.Style.STROKE
                paint.color = opaque(sign.colour)
                paint.strokeWidth = ring
                canvas.drawCircle(left + side / 2, top + side / 2, (side - ring) / 2, paint)
                paint.strokeWidth = side * 0.08f
                val reach = (side - ring) / 2 / sqrt(2f)
                val (x, y) = left + side / 2 to top + side / 2
                canvas.drawLine(x - reach, y - reach, x + reach, y + reach, paint)
            }
        }
    }

    private fun triangle(left: Float, top: Float, side: Float, high: Float) {
        path.reset()
        path.moveTo(left + side / 2, top)
        path.lineTo(left + side, top + high)
        path.lineTo(left, top + high)
        path.close()
    }

    private fun opaque(colour: UInt) = 0xFF000000.toInt() or colour.toInt()

    private companion object {
        val SIGNS = verdictSigns()
    }
}
