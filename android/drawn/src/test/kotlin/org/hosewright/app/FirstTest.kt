package org.hosewright.app

import android.graphics.Bitmap
import android.graphics.Canvas
import android.os.Looper
import java.io.File
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.Robolectric
import org.robolectric.RobolectricTestRunner
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf

@RunWith(RobolectricTestRunner::class)
class FirstTest {
    @Test
    fun first() {
        RuntimeEnvironment.setQualifiers("w360dp-h740dp-port-notnight-xhdpi")
        val made = Robolectric.buildActivity(ScanActivity::class.java).setup()
        shadowOf(Looper.getMainLooper()).idle()
        val view = made.get().window.decorView
        val bitmap = Bitmap.createBitmap(view.width, view.height, Bitmap.Config.ARGB_8888)
        view.draw(Canvas(bitmap))
        File("/tmp/first.png").outputStream().use { bitmap.compress(Bitmap.CompressFormat.PNG, 100, it) }
    }
}
