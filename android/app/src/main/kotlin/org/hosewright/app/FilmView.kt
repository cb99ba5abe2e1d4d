package org.hosewright.app

import android.annotation.SuppressLint
import android.content.Context
import android.graphics.Bitmap
import android.graphics.Canvas
import android.graphics.Color
import android.graphics.Paint
import android.graphics.Rect
import android.view.View
import org.hosewright.companion.FilmFrame

/** One symbol of a film, as large as it finds room, with its quiet around it: dark on white, also at night. */
@SuppressLint("ViewConstructor") // It stands in no layout file.
class FilmView(context: Context) : View(context) {
    private val paint = Paint().apply { isFilterBitmap = false }
    private var picture: Bitmap? = null

    /** What is drawn; none before the first frame. */
    var frame: FilmFrame? = null
        set(frame) {
            field = frame
            picture = frame?.let(::drawn)
            invalidate()
        }

    override fun onMeasure(wide: Int, high: Int) {
        // On a phone that lies on its side the whole square is seen at once.
        val side = minOf(MeasureSpec.getSize(wide), (resources.displayMetrics.heightPixels * MOST).toInt())
        setMeasuredDimension(MeasureSpec.getSize(wide), side)
    }

    override fun onDraw(canvas: Canvas) {
        val picture = picture ?: return
        // A whole number of pixels a module: none is wider than its neighbour.
        val side = minOf(width, height) / picture.width * picture.width
        val (left, top) = (width - side) / 2 to (height - side) / 2
        canvas.drawBitmap(picture, null, Rect(left, top, left + side, top + side), paint)
    }

    private fun drawn(frame: FilmFrame): Bitmap {
        val side = frame.side + 2 * QUIET
        val pixels = IntArray(side * side) { Color.WHITE }
        for (y in 0 until frame.side) {
            for (x in 0 until frame.side) if (frame.isDark(x, y)) pixels[(y + QUIET) * side + x + QUIET] = Color.BLACK
        }
        return Bitmap.createBitmap(pixels, side, side, Bitmap.Config.ARGB_8888)
    }

    private companion object {
        /** Modules of quiet around a symbol (ISO/IEC 18004, 5.3.8). */
        const val QUIET = 4

        /** How much of the screen's height it takes at most. */
        const val MOST = 0.8f
    }
}
