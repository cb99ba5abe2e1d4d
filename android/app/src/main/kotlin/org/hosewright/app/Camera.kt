package org.hosewright.app

import android.annotation.SuppressLint
import android.content.Context
import android.graphics.ImageFormat
import android.hardware.camera2.CameraAccessException
import android.hardware.camera2.CameraCaptureSession
import android.hardware.camera2.CameraCharacteristics
import android.hardware.camera2.CameraDevice
import android.hardware.camera2.CameraManager
import android.hardware.camera2.CaptureRequest
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
 * reader. Used on the thread of screens; what the camera says comes on its own.
 */
class Camera(
    context: Context,
    private val reader: FrameReader,
    private val obstacle: (Obstacle, String?) -> Unit,
) {
    private val cameras = context.getSystemService(CameraManager::class.java)
    private val id: String? = find()
    private var thread: HandlerThread? = null
    private var device: CameraDevice? = null
    private var session: CameraCaptureSession? = null
    /** Guards [images]: no frame is taken from a reader that is given back. */
    private val gate = Any()
    private var images: ImageReader? = null
    private var request: CaptureRequest.Builder? = null

    /** Whether it has a light. */
    val hasTorch: Boolean =
        id != null && cameras.getCameraCharacteristics(id).get(CameraCharacteristics.FLASH_INFO_AVAILABLE) == true

    /** The size of its frames: the nearest to 1280 × 720, which the reader is tuned for. */
    val size: Size = id?.let { sizeOf(it) } ?: Size(1280, 720)

    /** How far its picture is turned against the phone, in degrees. */
    val turned: Int =
        id?.let { cameras.getCameraCharacteristics(it).get(CameraCharacteristics.SENSOR_ORIENTATION) } ?: 0

    /** Begins; the permission was given. */
    @SuppressLint("MissingPermission")
    fun open(preview: Surface) {
        if (id == null) return obstacle(Obstacle.NO_CAMERA, null)
        if (thread != null) return
        val own = HandlerThread("hosewright-camera").apply { start() }
        thread = own
        val handler = Handler(own.looper)
        val frames = ImageReader.newInstance(size.width, size.height, ImageFormat.YUV_420_888, 3)
        frames.setOnImageAvailableListener({ hand(it) }, handler)
        synchronized(gate) { images = frames }
        try {
            cameras.openCamera(id, Opened(preview, frames, handler), handler)
        } catch (failed: CameraAccessException) {
            close()
            obstacle(Obstacle.CAMERA_BUSY, failed.message)
        } catch (refused: SecurityException) {
            close()
            obstacle(Obstacle.CAMERA_REFUSED, refused.message)
        }
    }

    /** The grey plane as it is, in the camera's own memory and with its own rows. */
    private fun hand(frames: ImageReader) {
        synchronized(gate) {
            val image = (if (frames === images) frames.acquireLatestImage() else null) ?: return
            val grey = image.planes[0]
            reader.offer(Frame(grey.buffer, image.width, image.height, grey.rowStride) { image.close() })
        }
    }

    /** Switches the light. */
    fun torch(on: Boolean) {
        val (session, request) = (session ?: return) to (request ?: return)
        request.set(CaptureRequest.FLASH_MODE, if (on) CaptureRequest.FLASH_MODE_TORCH else CaptureRequest.FLASH_MODE_OFF)
        try {
            session.setRepeatingRequest(request.build(), null, null)
        } catch (_: CameraAccessException) {
            // The camera went away; that is told by its own callback.
        } catch (_: IllegalStateException) {
            // The session was closed just now.
        }
    }

    /** Ends, and gives the camera back. */
    fun close() {
        session?.close()
        device?.close()
        thread?.quitSafely()
        session = null
        device = null
        val frames = synchronized(gate) { images.also { images = null } }
        // A frame may still be read: its memory goes after it.
        if (frames != null) reader.afterwards { frames.close() }
        reader.endFilm()
        thread = null
        request = null
    }

    private inner class Opened(
        private val preview: Surface,
        private val frames: ImageReader,
        private val handler: Handler,
    ) : CameraDevice.StateCallback() {
        override fun onOpened(camera: CameraDevice) {
            if (thread == null) return camera.close()
            device = camera
            try {
                val wanted = camera.createCaptureRequest(CameraDevice.TEMPLATE_PREVIEW)
                wanted.addTarget(preview)
                wanted.addTarget(frames.surface)
                wanted.set(CaptureRequest.CONTROL_AF_MODE, CaptureRequest.CONTROL_AF_MODE_CONTINUOUS_PICTURE)
                request = wanted
                @Suppress("DEPRECATION") // The other form needs API 28.
                camera.createCaptureSession(listOf(preview, frames.surface), Configured(wanted), handler)
            } catch (failed: CameraAccessException) {
                obstacle(Obstacle.CAMERA_BUSY, failed.message)
            }
        }

        override fun onDisconnected(camera: CameraDevice) {
            camera.close()
            obstacle(Obstacle.CAMERA_BUSY, null)
        }

        override fun onError(camera: CameraDevice, error: Int) {
            camera.close()
            obstacle(Obstacle.CAMERA_BUSY, "camera error $error")
        }

        private inner class Configured(private val wanted: CaptureRequest.Builder) : CameraCaptureSession.StateCallback() {
            override fun onConfigured(ready: CameraCaptureSession) {
                if (thread == null) return ready.close()
                session = ready
                try {
                    ready.setRepeatingRequest(wanted.build(), null, handler)
                } catch (failed: CameraAccessException) {
                    obstacle(Obstacle.CAMERA_BUSY, failed.message)
                } catch (_: IllegalStateException) {
                    // Closed in the meantime.
                }
            }

            override fun onConfigureFailed(failed: CameraCaptureSession) = obstacle(Obstacle.CAMERA_BUSY, null)
        }
    }

    private fun find(): String? =
        try {
            cameras.cameraIdList.firstOrNull { facing(it) == CameraCharacteristics.LENS_FACING_BACK }
                ?: cameras.cameraIdList.firstOrNull()
        } catch (_: CameraAccessException) {
            null
        }

    private fun facing(id: String) = cameras.getCameraCharacteristics(id).get(CameraCharacteristics.LENS_FACING)

    private fun sizeOf(id: String): Size? {
        val all = cameras.getCameraCharacteristics(id)
            .get(CameraCharacteristics.SCALER_STREAM_CONFIGURATION_MAP)
            ?.getOutputSizes(ImageFormat.YUV_420_888)
        return all?.minByOrNull { kotlin.math.abs(it.width * it.height - 1280 * 720) }
    }
}
