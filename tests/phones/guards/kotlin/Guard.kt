package org.hosewright.app

import android.app.Activity

// Must not compile: the framework's activity has no such call.
class Guard : Activity() {
    fun call() = thereIsNoSuchCall()
}
