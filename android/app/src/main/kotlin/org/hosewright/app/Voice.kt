package org.hosewright.app

import android.content.Context
import android.os.VibrationEffect
import android.os.Vibrator
import android.speech.tts.TextToSpeech
import android.view.accessibility.AccessibilityManager
import java.util.Locale
import org.hosewright.core.Answer
import org.hosewright.core.Verdict

/** The verdict for the ear and the hand. A phone without a voice is silent, no more. */
class Voice(context: Context) : AutoCloseable {
    private val vibrator: Vibrator? = context.getSystemService(Vibrator::class.java)
    private val reader = context.getSystemService(AccessibilityManager::class.java)
    private var ready = false
    private var waiting: String? = null
    private val speech: TextToSpeech

    init {
        speech = TextToSpeech(context) { status -> began(status == TextToSpeech.SUCCESS) }
    }

    private fun began(can: Boolean) {
        ready = can
        if (can) {
            speech.setLanguage(Locale.ENGLISH)
            waiting?.let(::say)
        }
        waiting = null
    }

    /** One short buzz for what may be dived, two long ones for what may not. */
    fun tell(answer: Answer) {
        val pattern = if (answer.verdict >= Verdict.HOLD) longArrayOf(0, 400, 150, 400) else longArrayOf(0, 80)
        vibrator?.takeIf { it.hasVibrator() }?.vibrate(VibrationEffect.createWaveform(pattern, -1))
        // A screen reader says the verdict by itself, and is not spoken over.
        if (!reader.isTouchExplorationEnabled) say(answer.spoken)
    }

    /** Says a text, and nothing that was being said before. */
    fun say(text: String) {
        if (ready) speech.speak(text, TextToSpeech.QUEUE_FLUSH, null, "answer") else waiting = text
    }

    override fun close() {
        speech.stop()
        speech.shutdown()
    }
}
