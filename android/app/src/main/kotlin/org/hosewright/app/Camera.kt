package org.hosewright.app

import android.annotation.SuppressLint
import android.content.Context
import android.graphics.ImageFormat
import android.graphics.Matrix
import android.graphics.PointF
import android.graphics.Rect
import android.hardware.camera2.CameraAccessException
import android.hardware.camera2.CameraCaptureSession
import android.hardware.camera2.CameraCharacteristics
import android.hardware.camera2.CameraDevice
import android.hardware.camera2.CameraManager
import android.hardware.camera2.CaptureRequest
import android.hardware.camera2.params.MeteringRectangle
import android.media.ImageReader
import android.os.Handler
import android.os.HandlerThread
import android.util.Size
import android.view.Surface
import org.hosewright.companion.Frame
import org.hosewright.companion.FrameReader
import org.hosewright.core.Obstacle

/**
 * The camera at the back: its picture on a surface, and its grey frames to the
 * reader. Opening and closing block, so they are done on a thread of its own; what
 * is wrong with it is told from there.
 */
class Camera(
    context: Context,
    private val reader: FrameReader<*>,
    private val obstacle: (Obstacle, String?) -> Unit,
) {
    private val cameras = context.getSystemService(CameraManager::class.java)
    private val id: String? = find()
    private val thread = HandlerThread("hosewright-camera").apply { start() }
    private val handler = Handler(thread.looper)

    /** Whether it has a light. */
    val hasTorch: Boolean = about(id, CameraCharacteristics.FLASH_INFO_AVAILABLE) == true

    /** The size of its frames: the nearest to 1280 × 720, which the reader is tuned for. */
    val size: Size = sizeOf(id) ?: Size(1280, 720)

    /** How far its picture is turned against the phone, in degrees. */
    val turned: Int = about(id, CameraCharacteristics.SENSOR_ORIENTATION) ?: 0

    /** How many times nearer it can show things; once, as it is, is the first. */
    val zooms: List<Float> = listOf(1f, 2f, 4f).filter { it <= (about(id, CameraCharacteristics.SCALER_AVAILABLE_MAX_DIGITAL_ZOOM) ?: 1f) }

    /** Whether its picture can be made darker, which takes away glare. */
    val canBeDarker: Boolean get() = darkest < 0

    /** The steps down to two stops less light, as far as it has them. */
    private val darkest: Int = run {
        val range = about(id, CameraCharacteristics.CONTROL_AE_COMPENSATION_RANGE)
        val step = about(id, CameraCharacteristics.CONTROL_AE_COMPENSATION_STEP)?.toFloat() ?: 0f
        if (range == null || step <= 0f) 0 else maxOf(range.lower, (-2 / step).toInt())
    }

    /** The sensor's own picture, of which regions are parts. */
    private val sensor: Rect? = about(id, CameraCharacteristics.SENSOR_INFO_ACTIVE_ARRAY_SIZE)

    /** Touched on its own thread alone, as all below. Another camera, or none, is none. */
    private var opened: Opened? = null

    /** Begins; the permission was given. Lost before, it is begun anew. */
    fun open(preview: Surface) {
        handler.post {
            if (opened == null) begin(preview)
        }
    }

    /** Ends, and gives the camera back; [then] its surface can go. */
    fun close(then: () -> Unit = {}) {
        handler.post {
            end()
            then()
        }
    }

    /** The page is gone. */
    fun quit() {
        close()
        thread.quitSafely()
    }

    /** Switches the light. */
    fun torch(on: Boolean) {
        val mode = if (on) CaptureRequest.FLASH_MODE_TORCH else CaptureRequest.FLASH_MODE_OFF
        set { it.set(CaptureRequest.FLASH_MODE, mode) }
    }

    /** Shows things so many times nearer. */
    fun zoom(times: Float) {
        val whole = sensor ?: return
        val (across, down) = (whole.width() / times / 2).toInt() to (whole.height() / times / 2).toInt()
        val part = Rect(whole.width() / 2 - across, whole.height() / 2 - down, whole.width() / 2 + across, whole.height() / 2 + down)
        set { it.set(CaptureRequest.SCALER_CROP_REGION, part) }
    }

    /** Makes the picture darker, or as it is by itself. */
    fun darker(yes: Boolean) = set { it.set(CaptureRequest.CONTROL_AE_EXPOSURE_COMPENSATION, if (yes) darkest else 0) }

    /** Makes a place of the picture sharp and takes its light; [at] is of the sensor, from 0 to 1 each way. */
    fun focus(at: PointF) {
        val whole = sensor ?: return
        val side = minOf(whole.width(), whole.height()) / 8
        val left = (at.x * whole.width()).toInt().coerceIn(0, whole.width() - side) - side / 2
        val top = (at.y * whole.height()).toInt().coerceIn(0, whole.height() - side) - side / 2
        val region = arrayOf(MeteringRectangle(maxOf(left, 0), maxOf(top, 0), side, side, MeteringRectangle.METERING_WEIGHT_MAX))
        handler.post { opened?.focus(region) }
    }

    private fun set(change: (CaptureRequest.Builder) -> Unit) {
        handler.post { opened?.set(change) }
    }

    @SuppressLint("MissingPermission")
    private fun begin(preview: Surface) {
        if (id == null) return obstacle(Obstacle.NO_CAMERA, null)
        val frames = ImageReader.newInstance(size.width, size.height, ImageFormat.YUV_420_888, 3)
        frames.setOnImageAvailableListener({ hand(it) }, handler)
        val own = Opened(preview, frames).also { opened = it }
        own.trying(own) { cameras.openCamera(id, own, handler) }
    }

    private fun end() {
        val own = opened ?: return
        opened = null
        own.close()
        // A frame may still be read: its memory goes after it.
        reader.afterwards { own.frames.close() }
        reader.endFilm()
    }

    /** The grey plane as it is, in the camera's own memory and with its own rows. */
    private fun hand(frames: ImageReader) {
        val image = (if (frames === opened?.frames) frames.acquireLatestImage() else null) ?: return
        val grey = image.planes[0]
        reader.offer(Frame(grey.buffer, image.width, image.height, grey.rowStride) { image.close() })
    }

    private inner class Opened(private val preview: Surface, val frames: ImageReader) : CameraDevice.StateCallback() {
        private var device: CameraDevice? = null
        private var session: CameraCaptureSession? = null
        private var request: CaptureRequest.Builder? = null

        /** Does something that fails if the camera goes away: that is said, and it can be begun again. */
        fun trying(own: Opened, work: () -> Unit) {
            try {
                work()
            } catch (failed: CameraAccessException) {
                own.lost(failed.message)
            } catch (refused: SecurityException) {
                own.lost(refused.message, Obstacle.CAMERA_REFUSED)
            } catch (closed: IllegalStateException) {
                own.lost(closed.message)
            } catch (gone: IllegalArgumentException) {
                // Of a camera that was taken away, or a surface that was.
                own.lost(gone.message)
            }
        }

        private fun lost(why: String?, what: Obstacle = Obstacle.CAMERA_BUSY) {
            if (opened !== this) return
            end()
            obstacle(what, why)
        }

        override fun onOpened(camera: CameraDevice) {
            if (opened !== this) return camera.close()
            device = camera
            trying(this) {
                val wanted = camera.createCaptureRequest(CameraDevice.TEMPLATE_PREVIEW)
                wanted.addTarget(preview)
                wanted.addTarget(frames.surface)
                wanted.set(CaptureRequest.CONTROL_AF_MODE, CaptureRequest.CONTROL_AF_MODE_CONTINUOUS_PICTURE)
                request = wanted
                @Suppress("DEPRECATION") // The other form needs API 28.
                camera.createCaptureSession(listOf(preview, frames.surface), Configured(), handler)
            }
        }

        override fun onDisconnected(camera: CameraDevice) {
            camera.close()
            lost(null)
        }

        override fun onError(camera: CameraDevice, error: Int) {
            camera.close()
            lost("camera error $error")
        }

        fun set(change: (CaptureRequest.Builder) -> Unit) {
            val (session, request) = (session ?: return) to (request ?: return)
            change(request)
            trying(this) { session.setRepeatingRequest(request.build(), null, handler) }
        }

        fun focus(region: Array<MeteringRectangle>) {
            if ((about(id, CameraCharacteristics.CONTROL_MAX_REGIONS_AE) ?: 0) > 0) {
                set { it.set(CaptureRequest.CONTROL_AE_REGIONS, region) }
            }
            if ((about(id, CameraCharacteristics.CONTROL_MAX_REGIONS_AF) ?: 0) == 0) return
            set {
                it.set(CaptureRequest.CONTROL_AF_REGIONS, region)
                it.set(CaptureRequest.CONTROL_AF_MODE, CaptureRequest.CONTROL_AF_MODE_AUTO)
            }
            val (session, request) = (session ?: return) to (request ?: return)
            request.set(CaptureRequest.CONTROL_AF_TRIGGER, CaptureRequest.CONTROL_AF_TRIGGER_START)
            trying(this) { session.capture(request.build(), null, handler) }
            // Once: what is repeated from now on asks for nothing.
            request.set(CaptureRequest.CONTROL_AF_TRIGGER, CaptureRequest.CONTROL_AF_TRIGGER_IDLE)
        }

        fun close() {
            try {
                session?.close()
            } catch (_: IllegalStateException) {
                // It went with its camera.
            }
            device?.close()
        }

        private inner class Configured : CameraCaptureSession.StateCallback() {
            override fun onConfigured(ready: CameraCaptureSession) {
                if (opened !== this@Opened) return ready.close()
                session = ready
                trying(this@Opened) { request?.let { ready.setRepeatingRequest(it.build(), null, handler) } }
            }

            override fun onConfigureFailed(failed: CameraCaptureSession) = lost(null)
        }
    }

    private fun find(): String? =
        try {
            cameras.cameraIdList.firstOrNull { about(it, CameraCharacteristics.LENS_FACING) == CameraCharacteristics.LENS_FACING_BACK }
                ?: cameras.cameraIdList.firstOrNull()
        } catch (_: CameraAccessException) {
            null
        }

    /** What is known of a camera; nothing of one that was taken away. */
    private fun <T> about(id: String?, key: CameraCharacteristics.Key<T>): T? =
        try {
            id?.let { cameras.getCameraCharacteristics(it).get(key) }
        } catch (_: CameraAccessException) {
            null
        } catch (_: IllegalArgumentException) {
            null
        }

    private fun sizeOf(id: String?): Size? =
        about(id, CameraCharacteristics.SCALER_STREAM_CONFIGURATION_MAP)
            ?.getOutputSizes(ImageFormat.YUV_420_888)
            ?.minByOrNull { kotlin.math.abs(it.width * it.height - 1280 * 720) }

    companion object {
        /**
         * Where on the sensor a place of a view is that is filled so, from 0 to 1 each way.
         */
        fun placed(at: PointF, view: Size, picture: Size, turned: Int, quarters: Int): PointF {
            val back = Matrix().also { filling(view, picture, turned, quarters).invert(it) }
            val place = floatArrayOf(at.x, at.y).also(back::mapPoints)
            val (across, down) = (place[0] / view.width).coerceIn(0f, 1f) to (place[1] / view.height).coerceIn(0f, 1f)
            return when (turned) {
                90 -> PointF(down, 1 - across)
                180 -> PointF(1 - across, 1 - down)
                270 -> PointF(1 - down, across)
                else -> PointF(across, down)
            }
        }

        /**
         * How a picture of the camera fills a view and keeps its shape: the view stretches
         * it over itself, upright for a phone that stands upright, [turned] degrees against
         * the sensor, and does not know that the phone is turned by [quarters].
         */
        fun filling(view: Size, picture: Size, turned: Int, quarters: Int): Matrix {
            val matrix = Matrix()
            if (view.width == 0 || view.height == 0) return matrix
            val (wide, high) = view.width.toFloat() to view.height.toFloat()
            val across = turned % 180 != 0
            val own = if (across) Size(picture.height, picture.width) else picture
            matrix.setScale(own.width / wide, own.height / high, wide / 2, high / 2)
            matrix.postRotate(-90f * quarters, wide / 2, high / 2)
            val lies = if (quarters % 2 != 0) Size(own.height, own.width) else own
            val over = maxOf(wide / lies.width, high / lies.height)
            matrix.postScale(over, over, wide / 2, high / 2)
            return matrix
        }
    }
}
