package org.hosewright.app

import android.graphics.PointF
import android.graphics.RectF
import android.util.Size
import kotlin.math.abs
import org.junit.Assert.assertTrue
import org.junit.Test

/** The camera's picture keeps its shape and fills its view, upright and on its side. */
class PreviewTest : Handset() {
    @Test
    fun `a square stays a square and the view is filled`() {
        val picture = Size(1280, 720)
        for ((view, quarters) in listOf(Size(1080, 900) to 0, Size(900, 1080) to 1, Size(900, 1080) to 3, Size(700, 700) to 2)) {
            for (turned in listOf(0, 90, 270)) {
                val matrix = Camera.filling(view, picture, turned, quarters)
                val own = if (turned % 180 != 0) Size(picture.height, picture.width) else picture
                // A hundred pixels of the picture each way, as the view stretches them.
                val square = RectF(0f, 0f, 100f * view.width / own.width, 100f * view.height / own.height)
                val whole = RectF(0f, 0f, view.width.toFloat(), view.height.toFloat())
                matrix.mapRect(square)
                matrix.mapRect(whole)
                val case = "$view $quarters $turned: $square $whole"
                assertTrue(case, abs(square.width() - square.height()) < 0.01)
                assertTrue(case, whole.left <= 0.5 && whole.top <= 0.5 && whole.right >= view.width - 0.5 && whole.bottom >= view.height - 0.5)
                // On one side it ends where the view ends.
                assertTrue(case, abs(whole.width() - view.width) < 0.5 || abs(whole.height() - view.height) < 0.5)
            }
        }
    }

    /** The middle stays the middle; what is at the top of an upright phone is at the side of a sensor that lies. */
    @Test
    fun `a touch on the picture is found on the sensor`() {
        val (view, picture) = Size(900, 600) to Size(1280, 720)
        for (turned in listOf(0, 90, 180, 270)) {
            for (quarters in 0..3) {
                val middle = Camera.placed(PointF(450f, 300f), view, picture, turned, quarters)
                assertTrue("$turned $quarters $middle", abs(middle.x - 0.5) < 0.01 && abs(middle.y - 0.5) < 0.01)
            }
        }
        val top = Camera.placed(PointF(450f, 0f), view, picture, turned = 90, quarters = 0)
        assertTrue("$top", top.x < 0.4 && abs(top.y - 0.5) < 0.01)
        val left = Camera.placed(PointF(0f, 300f), view, picture, turned = 90, quarters = 0)
        assertTrue("$left", abs(left.x - 0.5) < 0.01 && left.y > 0.9)
    }
}
