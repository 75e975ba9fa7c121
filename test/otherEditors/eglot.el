;; What a person does in Emacs, without hands: opens a dump, points at an option, takes the first quick fix. What came
;; of it goes into the file named by REPORT, as JSON.
(require 'json)
(require 'eglot)

(defun await (what holds)
  "Wait until HOLDS says something, and give that; complain about WHAT after 20 seconds."
  (let ((end (+ (float-time) 20)) found)
    (while (not (setq found (funcall holds)))
      (when (> (float-time) end) (error "Waited in vain for %s" what))
      (accept-process-output nil 0.02))
    found))

(defun wrong ()
  "Lines and sentences of what is marked."
  (mapcar (lambda (found)
            (list (cons 'line (line-number-at-pos (flymake-diagnostic-beg found)))
                  (cons 'message (flymake-diagnostic-text found))))
          (flymake-diagnostics)))

(find-file "rear-body.cfgdump")
(let ((report nil))
  (condition-case failure
      (progn
        ;; The hook waits for a first command, and in a batch there is none.
        (apply #'eglot (eglot--guess-contact))
        (push (cons 'diagnostics (vconcat (await "diagnostics" #'wrong))) report)
        (goto-char (point-min))
        (forward-line 11)
        (forward-char 10)
        (let (hover)
          (eglot-hover-eldoc-function (lambda (text &rest _) (setq hover text)))
          (push (cons 'hover (await "a hover" (lambda () hover))) report))
        (goto-char (point-min))
        (forward-line 26)
        (forward-char 8)
        ;; The menu of quick fixes, asked for by a key: its first entry is taken.
        (cl-letf ((last-nonmenu-event ?.)
                  ((symbol-function 'completing-read)
                   (lambda (_prompt choices &rest _)
                     (push (cons 'actions (vconcat (mapcar #'car choices))) report)
                     (caar choices))))
          (eglot-code-actions (point) nil nil t))
        (await "the quick fix" #'buffer-modified-p)
        (push (cons 'after (vconcat (last (split-string (buffer-string) "\n" t) 3))) report))
    (error (push (cons 'failure (error-message-string failure)) report)))
  (write-region (json-encode report) nil (getenv "REPORT"))
  (set-buffer-modified-p nil)
  (kill-emacs))
